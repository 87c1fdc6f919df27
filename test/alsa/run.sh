#!/usr/bin/env bash
# The tests over a real ALSA sequencer (npm run test:alsa). Where this machine has one, they run right here; else in a
# throw-away virtual machine (machine.sh). Where neither can be had they are skipped, which is said with the reason, and
# the exit status is 0; with FETTLE_ALSA=required it is 1.
# Missing packages are installed only when run as root with CI or FETTLE_INSTALL set.
set -euo pipefail
cd "$(dirname "$0")/../.."

skip() {
  echo "test:alsa SKIPPED: $1"
  [[ ${FETTLE_ALSA:-} != required ]] || exit 1
  exit 0
}

# The tests of `fettle work` run what is built.
npm run --silent build

tests=(node_modules/.bin/vitest run --config test/alsa/vitest.config.ts "$@")
[[ $(uname -s) == Linux ]] || skip "ALSA is Linux's; this is $(uname -s)"
if [[ -e /dev/snd/seq ]] && command -v aplaymidi >/dev/null; then
  echo 'test:alsa: on the sequencer of this machine'
  exec "${tests[@]}"
fi

packages=(qemu-system-x86 busybox-static cpio kmod xz-utils alsa-utils)
missing() {
  local tool
  for tool in qemu-system-x86_64 busybox cpio modprobe xz aplaymidi arecord; do
    command -v $tool >/dev/null || echo $tool
  done
}
if [[ -n $(missing) && $(id -u) == 0 && -n ${CI:-}${FETTLE_INSTALL:-} ]] && command -v apt-get >/dev/null; then
  echo "test:alsa: installing ${packages[*]}"
  apt-get -qq update && apt-get -qq install -y --no-install-recommends "${packages[@]}" >/dev/null || true
fi
[[ -z $(missing) ]] || skip "no ALSA sequencer here (/dev/snd/seq), and no virtual machine without: $(missing | xargs); on Debian: apt-get install ${packages[*]}"

echo 'test:alsa: in a throw-away virtual machine with an ALSA sequencer'
status=0
ALSA_MACHINE_SECONDS=${ALSA_MACHINE_SECONDS:-580} bash test/alsa/machine.sh . -- "${tests[@]}" || status=$?
[[ $status != 125 ]] || skip 'the virtual machine could not be made: is there no kernel package to be had (apt-get update)?'
exit $status
