#!/usr/bin/env bash
# The audible click and notes through a real-time sound device (npm run test:sound): a private sound server with a null
# sink whose other end is recorded. Where it cannot be had the tests are skipped, which is said with the reason, and the
# exit status is 0; with FETTLE_SOUND=required it is 1.
# Missing packages are installed only when run as root with CI or FETTLE_INSTALL set.
set -euo pipefail
cd "$(dirname "$0")/../.."

skip() {
  echo "test:sound SKIPPED: $1"
  [[ ${FETTLE_SOUND:-} != required ]] || exit 1
  exit 0
}

[[ $(uname -s) == Linux ]] || skip "ALSA and its sound servers are Linux's; this is $(uname -s)"
node -e "require.resolve('node-web-audio-api')" 2>/dev/null || skip 'the optional sound library is not installed (npm install)'
packages=(pulseaudio pulseaudio-utils libasound2-plugins)
missing() {
  local tool
  for tool in pulseaudio parec; do command -v $tool >/dev/null || echo $tool; done
  compgen -G '/usr/lib*/*/alsa-lib/libasound_module_pcm_pulse.so' >/dev/null ||
    compgen -G '/usr/lib*/alsa-lib/libasound_module_pcm_pulse.so' >/dev/null || echo "ALSA's way to the server"
}
if [[ -n $(missing) && $(id -u) == 0 && -n ${CI:-}${FETTLE_INSTALL:-} ]] && command -v apt-get >/dev/null; then
  echo "test:sound: installing ${packages[*]}"
  apt-get -qq update && apt-get -qq install -y --no-install-recommends "${packages[@]}" >/dev/null || true
fi
[[ -z $(missing) ]] || skip "without $(missing | paste -sd,); on Debian: apt-get install ${packages[*]}"

npm run --silent build
echo "test:sound: on a sound server of its own; load $(cut -d' ' -f1-3 /proc/loadavg)"
# Everything that the tests start lives below this folder. What is left of it goes with it, whatever happened; a server
# without clients ends by itself besides.
FETTLE_SOUND_FOLDER=$(mktemp -d /tmp/fettle-sound.XXXXXX)
export FETTLE_SOUND_FOLDER
clean() {
  local file
  for file in "$FETTLE_SOUND_FOLDER"/*/server.pid; do [[ ! -e $file ]] || kill "$(<"$file")" 2>/dev/null || true; done
  rm -rf "$FETTLE_SOUND_FOLDER"
}
trap clean EXIT
trap 'exit 143' TERM INT
node_modules/.bin/vitest run --config test/sound/vitest.config.ts "$@"
