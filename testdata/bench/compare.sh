#!/usr/bin/env bash
# Prints, side by side in one run, how many templates a second trueup and the
# Python script do on the same drawings with the same number of cores.
#
#   testdata/bench/compare.sh [N] [M]    N (1000) templates for trueup, the first M (100) of them for Python
#
# Needs Debian's python3-ezdxf, python3-shapely, python3-openpyxl, python3-matplotlib.
set -euo pipefail
cd "$(dirname "$0")/../.."
n=${1:-1000} m=${2:-100}
python=${PYTHON:-/usr/bin/python3}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go build -o "$work/trueup" ./cmd/trueup
go run ./testdata/bench/generate kitchens "$work/all" "$n"
mkdir "$work/few"
ls "$work/all" | sed -n "1,${m}p" | while read -r f; do cp "$work/all/$f" "$work/few/"; done

# row NAME CORES COUNT SECONDS PEAK
declare -A rate
row() {
  rate[$1 $2]=$(awk -v n="$3" -v s="$4" 'BEGIN { print n / s }')
  awk -v a="$1" -v c="$2" -v n="$3" -v s="$4" -v p="$5" 'BEGIN { printf "%-38s %5d %9d %9.2f %11.1f %9.0f\n", a, c, n, s, n/s, p/1024 }'
}
ours() { # NAME CORES ARGS...
  local name=$1 cores=$2 code=0; shift 2
  GOMAXPROCS=$cores /usr/bin/env time -f '%e %M' -o "$work/time" "$work/trueup" check --jobs "$cores" "$@" "$work/all" >"$work/stdout" 2>/dev/null || code=$?
  [ "$code" -le 1 ] || { echo "trueup ended with $code" >&2; exit 1; }
  read -r s p < <(tail -n 1 "$work/time")
  row "$name" "$cores" "$n" "$s" "$p"
}
theirs() { # NAME PROCESSES ARGS...
  local name=$1 cores=$2; shift 2
  OMP_NUM_THREADS=1 /usr/bin/env time -f '%M' -o "$work/time" "$python" testdata/bench/opponent.py --processes "$cores" "$@" "$work/few" "$work/python" >"$work/stdout"
  read -r count s _ <"$work/stdout"
  row "$name" "$cores" "$count" "$s" "$(tail -n 1 "$work/time")"
}
printf '%-38s %5s %9s %9s %11s %9s\n' what cores templates seconds 'a second' 'peak MiB'
theirs "python, picture" 1
theirs "python, picture" 2
theirs "python, no picture" 1 --no-picture
theirs "python, no picture" 2 --no-picture
full="trueup check --out, full report" json="trueup check --json"
ours "$full" 1 --out "$work/out1"
ours "$full" 2 --out "$work/out2"
ours "$json" 1 --json
ours "$json" 2 --json

ratio() { awk -v a="${rate[$1]}" -v b="${rate[$2]}" -v by="$3" 'BEGIN { printf "%.2f", a / b / by }'; }
printf '\ntimes the script on 1 core and on 2: full report beside one picture %s and %s, --json beside no picture %s and %s\n' \
  "$(ratio "$full 1" "python, picture 1" 1)" "$(ratio "$full 2" "python, picture 2" 1)" \
  "$(ratio "$json 1" "python, no picture 1" 1)" "$(ratio "$json 2" "python, no picture 2" 1)"
printf 'share of two cores used: full report %s, --json %s; the script with and without picture %s and %s\n' \
  "$(ratio "$full 2" "$full 1" 2)" "$(ratio "$json 2" "$json 1" 2)" \
  "$(ratio "python, picture 2" "python, picture 1" 2)" "$(ratio "python, no picture 2" "python, no picture 1" 2)"
