set -euo pipefail
"$PYTHON" testdata/outside/report_check.py "$DEMO"
"$PYTHON" testdata/outside/report_print_check.py "$DEMO"
