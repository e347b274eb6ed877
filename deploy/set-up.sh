# Sourced by deploy/try and deploy/test: finds Python and makes the virtual environment.
# Works with bash 3.2 (macOS) and later. Needs neither uv nor a compiler.

say() { printf 'traywarden: %s\n' "$*" >&2; }

# Print the first Python of at least 3.11 that can make an environment.
find_python() {
  local candidate bare=""
  for candidate in ${PYTHON:-} python3.13 python3.12 python3.11 python3 python; do
    if "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
      if "$candidate" -c 'import venv, ensurepip' >/dev/null 2>&1; then
        command -v "$candidate"
        return 0
      fi
      bare=${bare:-$candidate}
    fi
  done
  if [ -n "$bare" ]; then
    say "$("$bare" --version 2>&1) lacks the venv module."
    say "Debian or Ubuntu: sudo apt install python3-venv   then run this again."
    return 1
  fi
  say "Python 3.11 or newer is needed, and none was found."
  if command -v python3 >/dev/null 2>&1; then
    say "python3 here is $(python3 --version 2>&1). Set PYTHON=/path/to/python if another exists."
  fi
  say "Debian or Ubuntu: sudo apt install python3 python3-venv   macOS: install it from python.org"
  return 1
}

# Make the environment $1 hold what the lock file $2 says. Done once for each state of the lock:
# the stamp is the lock's own digest, so that a second run takes no time. Further arguments go to
# pip. Sets `set_up_anew` to yes when anything was installed.
set_up() {
  set_up_anew=no
  local venv=$1 lock=$2 python stamp digest
  shift 2
  if ! "$venv/bin/python" -c '' >/dev/null 2>&1; then
    python=$(find_python) || return 1
    say "making $venv with $("$python" --version 2>&1) ..."
    rm -rf "$venv"
    if ! "$python" -m venv "$venv"; then
      rm -rf "$venv"
      say "The environment could not be made. Debian or Ubuntu: sudo apt install python3-venv"
      return 1
    fi
  fi
  digest=$("$venv/bin/python" -c \
    'import hashlib, sys; print(hashlib.sha256(open(sys.argv[1], "rb").read()).hexdigest())' "$lock")
  stamp="$venv/$(basename "$lock").installed"
  if [ -f "$stamp" ] && [ "$(cat "$stamp")" = "$digest" ]; then
    return 0
  fi
  say "installing what $(basename "$lock") lists (a minute or two, once) ..."
  if ! "$venv/bin/python" -m pip install --quiet --disable-pip-version-check --no-input \
    --require-hashes "$@" -r "$lock" >&2; then
    say "Installing failed; the lines above say why. Run this again once that is mended."
    return 1
  fi
  printf '%s\n' "$digest" >"$stamp"
  set_up_anew=yes
}

# Put the command `traywarden` of the checkout $2 into the environment $1.
put_command() {
  local command="$1/bin/traywarden"
  printf '#!/usr/bin/env bash\nPYTHONPATH=%q exec %q -P -m bot "$@"\n' \
    "$2" "$1/bin/python" >"$command.new"
  chmod +x "$command.new"
  mv "$command.new" "$command"
}
