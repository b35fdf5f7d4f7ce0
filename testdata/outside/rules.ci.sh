# Strips against GEOS, and how long both take: nothing else may run beside it.
#
# alone
set -euo pipefail
"$PYTHON" testdata/outside/rules_check.py 500
"$PYTHON" testdata/outside/clearance_bench.py 1000 10000
