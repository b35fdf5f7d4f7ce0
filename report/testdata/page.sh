#!/usr/bin/env bash
# Makes report-page.png, the picture in the README: the printed sheet of one
# piece of the demo kitchen. Needs LibreOffice Calc, poppler-utils, ImageMagick.
set -euo pipefail
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
code=0
go run ./cmd/trueup check --out "$work/out" testdata/demo/01-kitchen-l.dxf 2>"$work/said" || code=$?
test "$code" -eq 1 || { cat "$work/said" >&2; exit 1; } # the kitchen has a stop flag to decide
soffice --headless -env:UserInstallation="file://$work/profile" --convert-to pdf --outdir "$work" \
  "$work/out/01-kitchen-l/report.xlsx" >/dev/null
pages=$(pdfinfo "$work/report.pdf" | awk '/^Pages/ {print $2}')
page=""
for n in $(seq "$pages"); do
  if pdftotext -f "$n" -l "$n" "$work/report.pdf" - | grep -qx 'Piece SINK RUN'; then page=$n; break; fi
done
test -n "$page"
pdftoppm -f "$page" -l "$page" -r 240 -png -singlefile "$work/report.pdf" "$work/page"
convert "$work/page.png" -fuzz 1% -trim +repage -bordercolor white -border 24 -filter Lanczos -resize 1400x -dither None -colors 64 \
  -define png:compression-level=9 -strip "PNG8:report/testdata/report-page.png"
