# Clean drawings checked again, slab fits and corners as other programs write them.
set -euo pipefail
"$PYTHON" -B testdata/outside/machines_check.py "$TRUEUP" "$WORK/machines"
