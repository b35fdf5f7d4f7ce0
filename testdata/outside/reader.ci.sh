# The reader against ezdxf: every entity type, several versions and encodings.
set -euo pipefail
"$PYTHON" testdata/outside/reader_check.py "$TRUEUP"
