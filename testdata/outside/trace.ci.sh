# Geometry and tracing against GEOS on 1,500 random shapes. Give the script 10000
# by hand for the full proof, which takes minutes.
set -euo pipefail
"$PYTHON" testdata/outside/trace_check.py 1500
