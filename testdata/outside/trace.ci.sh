# Geometry and tracing against GEOS on 10,000 random densified
# shapes: areas, validity, containment, distances, faces of polygonize.
set -euo pipefail
"$PYTHON" testdata/outside/trace_check.py 10000
