#!/usr/bin/env bash
# Installs the programs that the tests compare Ferrule with or drive it by: ngspice, Python, openssl,
# a browser, ripgrep (VS Code's search), a PDF reader's tools, a second editor, git.
# As root on Debian it installs what is missing; elsewhere it prints the command to type and fails.
set -euo pipefail

readonly programs=(git python3 ngspice openssl chromium rg pdftotext nvim)
readonly packages=(git python3 ngspice openssl chromium ripgrep poppler-utils neovim)

missing=()
for index in "${!programs[@]}"; do
  command -v "${programs[$index]}" >/dev/null 2>&1 || missing+=("${packages[$index]}")
done
[ "${#missing[@]}" -gt 0 ] || exit 0

if ! command -v apt-get >/dev/null 2>&1; then
  printf 'The tests need these programs: %s\nInstall them with the package manager of this computer.\n' \
    "${missing[*]}" >&2
  exit 1
fi
readonly install="apt-get install -y --no-install-recommends ${missing[*]}"
if [ "$(id -u)" -ne 0 ]; then
  printf 'The tests need programs that are not installed. Type:\n  sudo apt-get update && sudo %s\n' \
    "$install" >&2
  exit 1
fi
export DEBIAN_FRONTEND=noninteractive
apt-get update -qq
$install -qq >/dev/null
