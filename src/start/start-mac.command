#!/bin/sh
# Double-click: starts Wedgewright and opens it in the browser. This window must stay open; close it to stop.
cd "$(dirname "$0")/../.." || exit 1
command -v node >/dev/null 2>&1 || { echo "Install Node 20 or newer from https://nodejs.org first."; read -r _; exit 1; }
exec node src/launch.mjs start --open
