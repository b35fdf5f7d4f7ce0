# Random tops on cabinets, legs, rails and corbels: what hangs, by brute force.
set -euo pipefail
"$PYTHON" -B testdata/outside/support_check.py "$TRUEUP" "$WORK/support" 20
