# Strips, necks and holes against GEOS. How long both take is for a quiet machine:
# clearance_bench.py, run by hand.
set -euo pipefail
"$PYTHON" testdata/outside/rules_check.py 500
