#!/usr/bin/env bash
# machine.sh DIR -- COMMAND...
# Runs COMMAND in DIR as root inside a throw-away virtual machine whose kernel has an ALSA sequencer, virtual MIDI cards
# and a loopback sound card. It boots a Debian kernel in software emulation (no /dev/kvm needed); its root is this
# machine's own, read-only over 9p, under a writable layer in memory: everything here is visible there, and nothing
# written there lasts. Output and exit status are COMMAND's; 124: out of time; 125: no machine could be made; 126: it
# ended without a word (what its console said then goes to stderr).
#
#   ALSA_MACHINE_SECONDS  longest run (300)        ALSA_MACHINE_CACHE  where the kernel is kept, outside the work tree
#   ALSA_MACHINE_MEGABYTES  memory (1536)          ALSA_MACHINE_SHARE  a folder writable from inside, same path
#   ALSA_MACHINE_CONSOLE=1  show the console
#
# Needs qemu-system-x86, busybox-static, cpio, kmod, xz-utils, alsa-utils and apt's package lists; the kernel is
# downloaded with apt-get once and unpacked, never installed.
set -euo pipefail

if [[ $# -lt 3 || $2 != -- ]]; then
  echo "usage: $0 DIR -- COMMAND..." >&2
  exit 125
fi
dir=$(realpath "$1")
shift 2
cache=${ALSA_MACHINE_CACHE:-${XDG_CACHE_HOME:-$HOME/.cache}/fettle-alsa-machine}
job=$(mktemp -d /tmp/alsa-machine.XXXXXX)
trap 'rm -rf "$job"' EXIT

# The kernel, bare (unpacking the compressed one under emulation takes seconds), and an initramfs of busybox and the
# few modules that reach the root over 9p. Not the "cloud" kernel: that one has no sound.
make_kernel() {
  local package version offset module
  package=$(apt-cache depends linux-image-amd64 | sed -n 's/.*Depends: //p' | head -1)
  [[ -n $package ]] || return 1
  version=${package#linux-image-}
  (cd "$job" && timeout 300 apt-get -qq download "$package" 2>/dev/null) || return 1
  mkdir -p "$cache"
  dpkg -x "$job"/*.deb "$cache" || return 1
  depmod -b "$cache" "$version"
  offset=$(LC_ALL=C grep -obUaP '\xfd7zXZ\x00' "$cache/boot/vmlinuz-$version" | head -1 | cut -d: -f1)
  tail -c +$((offset + 1)) "$cache/boot/vmlinuz-$version" | xz -dc --single-stream >"$cache/boot/vmlinux" 2>/dev/null || true
  mkdir -p "$job"/initramfs/{bin,modules,9p,tmp,root,dev,proc}
  cp "$(command -v busybox)" "$job/initramfs/bin/busybox"
  for module in virtio_pci 9pnet_virtio 9p overlay virtio_console; do
    modprobe -d "$cache" -S "$version" --show-depends "$module"
  done | awk '!seen[$2]++ { print $2 }' >"$job/modules"
  xargs -a "$job/modules" cp -t "$job/initramfs/modules/"
  sed 's|.*/||' "$job/modules" >"$job/initramfs/modules/order"
  cat >"$job/initramfs/init" <<'INIT'
#!/bin/busybox sh
b=/bin/busybox
$b mount -t devtmpfs none /dev
$b mount -t proc none /proc
for module in $($b cat /modules/order); do $b insmod /modules/$module; done
for word in $($b cat /proc/cmdline); do case $word in fettle.job=*) job=${word#fettle.job=} ;; esac; done
$b mount -t 9p -o trans=virtio,version=9p2000.L,msize=512000,cache=loose,ro root /9p
$b mount -t tmpfs none /tmp
$b mkdir /tmp/upper /tmp/work
$b mount -t overlay -o lowerdir=/9p,upperdir=/tmp/upper,workdir=/tmp/work none /root
$b mount --move /dev /root/dev
$b mount --move /proc /root/proc
exec $b switch_root /root /bin/bash "$job/inside"
INIT
  chmod +x "$job/initramfs/init"
  (cd "$job/initramfs" && find . | cpio -o -H newc --quiet | gzip -1) >"$job/initramfs.gz"
  mv "$job/initramfs.gz" "$cache/boot/initramfs"
}
[[ -e $cache/boot/initramfs ]] || make_kernel || exit 125

# The machine's first process. Three serial ports carry stdout, stderr and the exit status out.
share=${ALSA_MACHINE_SHARE:-}
cat >"$job/inside" <<INSIDE
ln -s /proc/self/fd /dev/fd
for n in 0:stdin 1:stdout 2:stderr; do ln -s fd/\${n%:*} /dev/\${n#*:}; done
mkdir -p /dev/pts /dev/shm /lib/modules
mount -t sysfs none /sys
mount -t devpts none /dev/pts
for d in /dev/shm /run; do mount -t tmpfs none \$d; done
busybox ifconfig lo 127.0.0.1 up
[[ -z "$share" ]] || { mkdir -p "$share"; mount -t 9p -o trans=virtio,version=9p2000.L,msize=512000 share "$share"; }
ln -sfn "$(echo "$cache"/lib/modules/*)" /lib/modules/
modprobe -a snd-hrtimer snd-seq snd-seq-dummy snd-seq-midi snd-virmidi
modprobe snd-aloop
export HOME=/root PATH=$(printf %q "$PATH") TERM=dumb LANG=C.UTF-8 FETTLE_ALSA_MACHINE=1 CI=$(printf %q "${CI:-}") FETTLE_ALSA_LOAD_SECONDS=$(printf %q "${FETTLE_ALSA_LOAD_SECONDS:-10}")
mkfifo /run/out /run/err
cat /run/out >/dev/vport*p1 & cat /run/err >/dev/vport*p2 &
(cd $(printf %q "$dir") && exec$(printf ' %q' "$@")) </dev/null >/run/out 2>/run/err
status=\$?
for n in {1..50}; do [[ -z \$(jobs -r) ]] && break; sleep 0.1; done
echo \$status >/dev/vport*p3
sync
busybox reboot -f
INSIDE

mkfifo "$job/out" "$job/err"
cat "$job/out" & out=$!
cat "$job/err" >&2 & err=$!
ulimit -n "$(ulimit -Hn)" # 9p keeps a descriptor for every open file.
shared=()
[[ -z $share ]] || shared=(-virtfs "local,path=$share,mount_tag=share,security_model=none")
timeout -k 5 "${ALSA_MACHINE_SECONDS:-300}" qemu-system-x86_64 \
  -M pc -accel tcg,thread=multi -cpu Nehalem -smp 2 -m "${ALSA_MACHINE_MEGABYTES:-1536}" \
  -nodefaults -no-user-config -display none -nic none -no-reboot \
  -kernel "$cache/boot/vmlinux" -initrd "$cache/boot/initramfs" -serial "file:$job/console" \
  -append "console=ttyS0 quiet panic=-1 tsc=reliable mitigations=off fettle.job=$job" \
  -virtfs local,path=/,mount_tag=root,security_model=none,readonly=on,multidevs=remap "${shared[@]}" \
  -chardev "file,id=o,path=$job/out" -chardev "file,id=e,path=$job/err" -chardev "file,id=s,path=$job/status" \
  -device virtio-serial -device virtserialport,chardev=o -device virtserialport,chardev=e \
  -device virtserialport,chardev=s </dev/null 2>"$job/qemu" &
machine=$!
trap 'kill $machine 2>/dev/null || true' INT TERM
ended=0
wait $machine || ended=$?
exec 3<>"$job/out" 4<>"$job/err" 3>&- 4>&- # Ends the two cats if the machine never opened its end.
wait $out $err
if [[ -n ${ALSA_MACHINE_CONSOLE:-} || ! -s $job/status ]]; then cat "$job"/{qemu,console} >&2 || true; fi
[[ $ended != 124 && $ended != 137 ]] || exit 124
[[ -s $job/status ]] || exit 126
exit "$(<"$job/status")"
