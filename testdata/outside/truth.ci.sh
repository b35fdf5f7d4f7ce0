# Templates with truth worked out by other means (closed forms, GEOS, statics) try to come out READY though stone
# moved, a cutout vanished, a top hangs over nothing, a layer or a unit was misread; sound ones must not be stopped.
# The gate runs a selection; `truth.py PROGRAM FOLDER --all` runs everything, `--seed N` other drawings.
set -euo pipefail
"$PYTHON" -B testdata/outside/truth.py "$TRUEUP" "$WORK/truth"
