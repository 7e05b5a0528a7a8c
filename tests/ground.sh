# SPDX-License-Identifier: MIT
# Sourced by run.sh and quick.sh: a home, a clock zone and a work folder of their own, with nothing of the caller's settings.
# New builds are ninja's, where it is installed: a quarter less work than make's.
# In memory where there is room and a hook may run: a test that writes mostly waits for the disk. Removed at the end.
ground() {
  local memory=/dev/shm
  if [ -w "$memory" ] && [ "$(df --output=avail -B1M "$memory" | tail -n 1)" -ge 2048 ] &&
    ! grep -q "^[^ ]* $memory [^ ]* [^ ]*noexec" /proc/mounts; then
    export TMPDIR=$memory
  fi
  home=$(mktemp -d)
  trap 'rm -rf "$home"' EXIT
  export TMPDIR=$home/tmp
  mkdir "$TMPDIR"
  export HOME=$home XDG_CONFIG_HOME=$home/config LC_ALL=C.UTF-8 TZ=UTC GIT_CONFIG_NOSYSTEM=1
  unset LANG LANGUAGE
  ! command -v ninja >/dev/null || export CMAKE_GENERATOR=Ninja
}
