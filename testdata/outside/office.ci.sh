# Decisions as people and other programs leave them in a workbook.
set -euo pipefail
"$PYTHON" -B testdata/outside/office_check.py "$TRUEUP" "$WORK/office"
