set -euo pipefail
"$PYTHON" testdata/outside/drawings_check.py "$DEMO"
