set -euo pipefail
"$PYTHON" -B testdata/outside/contract_check.py "$TRUEUP" "$WORK/contract"
