#!/usr/bin/env bash
# Installs what the tests marked `outside` need: apt packages, and npm packages in a folder outside the tree.
set -euo pipefail
NPM_FOLDER="${LIBDAMP_NPM:-/tmp/libdamp-npm}"
APT_PACKAGES=(libreoffice-calc python3-uno chromium chromium-headless-shell)
NPM_PACKAGES=(@redocly/cli@2.77.0 @stoplight/spectral-cli@6.16.3 openapi-typescript@7.13.0 typescript@5.9.3)

quietly() {
  local log
  log=$(mktemp)
  if ! "$@" > "$log" 2>&1; then
    cat "$log" >&2
    echo "failed: $*" >&2
    rm -f "$log"
    return 1
  fi
  rm -f "$log"
}

missing=()
for package in "${APT_PACKAGES[@]}"; do
  [ "$(dpkg-query -W -f='${db:Status-Status}' "$package" 2> /dev/null)" = installed ] || missing+=("$package")
done
if [ "${#missing[@]}" -gt 0 ]; then
  as_root=()
  [ "$(id -u)" -eq 0 ] || as_root=(sudo)
  quietly "${as_root[@]}" apt-get update -qq
  quietly "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get install -y -qq --no-install-recommends "${missing[@]}"
fi

mark="$NPM_FOLDER/installed.txt"
if [ "$(cat "$mark" 2> /dev/null)" != "${NPM_PACKAGES[*]}" ]; then
  mkdir -p "$NPM_FOLDER"
  [ -f "$NPM_FOLDER/package.json" ] || echo '{"private": true}' > "$NPM_FOLDER/package.json"
  quietly npm install --prefix "$NPM_FOLDER" --save-exact --no-audit --no-fund "${NPM_PACKAGES[@]}"
  echo "${NPM_PACKAGES[*]}" > "$mark"
fi
