# A second CAD program opens what trueup wrote: LibreCAD turns every clean.dxf
# and marked.dxf of the demo into a page that is not blank.
set -euo pipefail
passed=0 failed=0
while read -r drawing; do
  name=$(basename "$(dirname "$drawing")")-$(basename "$drawing" .dxf)
  mkdir -p "$WORK/cad/$name"
  cp "$drawing" "$WORK/cad/$name/d.dxf"
  if (cd "$WORK/cad/$name" && XDG_RUNTIME_DIR="$WORK" QT_QPA_PLATFORM=offscreen timeout 60 librecad dxf2pdf -a -c d.dxf >said 2>&1) &&
    pdftoppm -r 40 -gray "$WORK/cad/$name/d.pdf" "$WORK/cad/$name/page" &&
    [ "$(tail -c +16 "$WORK/cad/$name"/page*.pgm | od -An -v -tu1 -w1 | awk '$1 < 200' | wc -l)" -gt 50 ]; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    echo "FAILED $drawing"
  fi
done < <(find "$DEMO" -name clean.dxf -o -name marked.dxf | sort)
[ "$passed" -gt 0 ] || failed=$((failed + 1))
echo "second cad: $passed passed, $failed failed"
[ "$failed" -eq 0 ]
