#!/usr/bin/env bash
# What the service costs at rest and how fast it reacts, with real processes on a real disk.
#
#   testdata/bench/service.sh [idle|react|drops|all] [DIR]
#
# idle   a shop with JOBS (10,000) jobs, a quarter of them in review/: time to the first sign
#        of life, processor time at rest as a share of one core, processor time of one change
#        with its register, time of a status
# react  seconds from a saved workbook, saved settings and a spoiled register to what follows
# drops  DROPS (2,000) drawings in drop/ against the same by check
#
# TRUEUP is the program to measure (default: built from here). Processor times are what
# to trust on a shared machine.
set -euo pipefail
cd "$(dirname "$0")/../.."
what=${1:-all}
made=$(mktemp -d "${2:-/tmp}/service.XXXXXX")
server=
finish() {
	if [ -n "$server" ]; then kill -TERM "$server" 2>/dev/null || true; wait "$server" 2>/dev/null || true; fi
	rm -rf "$made"
}
trap finish EXIT
if [ -z "${TRUEUP:-}" ]; then
	go build -o "$made/trueup" ./cmd/trueup
	TRUEUP=$made/trueup
fi
go build -o "$made/generate" ./testdata/bench/generate
want() { [ "$what" = all ] || [ "$what" = "$1" ]; }
now() { date +%s.%N; }
since() { awk -v a="$1" -v b="$(now)" 'BEGIN{printf "%.1f", b-a}'; }
# ticks of a process and of the children it has waited for
ticks() { awk '{sub(/.*\) /,""); print $12+$13+$14+$15}' "/proc/$1/stat"; }
share() { # SECONDS: of a core, percent
	local a b
	a=$(ticks "$server")
	sleep "$1"
	b=$(ticks "$server")
	awk -v d=$((b - a)) -v s="$1" -v hz="$(getconf CLK_TCK)" 'BEGIN{printf "%.2f", 100*d/hz/s}'
}
start() { # SHOP
	"$TRUEUP" watch "$1" >>"$1.log" 2>&1 &
	server=$!
}
stop() { kill -TERM "$server"; wait "$server" || true; server=; }

if want idle; then
	shop=$made/shop jobs=${JOBS:-10000}
	"$TRUEUP" init "$shop" 2>/dev/null
	cp testdata/demo/02-island.dxf "$shop/drop/first.dxf"
	start "$shop"
	job=
	until [ -n "$job" ]; do sleep 0.2; job=$(find "$shop" -path '*/first/1/job.json'); done
	stop
	python3 - "$shop" "$(dirname "$job")" "$jobs" <<'P'
import json, os, shutil, sys
shop, first, n = sys.argv[1], sys.argv[2], int(sys.argv[3])
card = json.load(open(first + "/job.json"))
result = json.load(open(first + "/result.json"))
for i in range(n):
    state = "review" if i % 4 == 0 else "ready"
    name = "site %d/top %d" % (i % 100, i)
    to = "%s/%s/%s/1" % (shop, state, name)
    os.makedirs(to)
    for f in os.listdir(first):
        if f not in ("job.json", "result.json"):
            os.link(first + "/" + f, to + "/" + f)
    card["job"] = result["job"] = name
    card["sha256"] = "%064x" % i
    card["verdict"] = result["verdict"] = state
    json.dump(card, open(to + "/job.json", "w"))
    json.dump(result, open(to + "/result.json", "w"))
P
	before=$(now)
	start "$shop"
	until [ -n "$(find "$shop/.work/servers" -name "*-$server-*.json")" ]; do sleep 0.02; done
	echo "$jobs jobs: the first sign of life after $(since "$before") s"
	sleep 30 # the first register
	echo "$jobs jobs: at rest $(share "${REST:-60}") % of a core"
	a=$(ticks "$server")
	cp testdata/demo/03-vanity.dxf "$shop/drop/another.dxf"
	sleep 30
	b=$(ticks "$server")
	awk -v d=$((b - a)) -v hz="$(getconf CLK_TCK)" 'BEGIN{printf "one drop and its register: %.2f s of processor in 30 s\n", d/hz}'
	before=$(now)
	"$TRUEUP" status "$shop" >/dev/null
	echo "$jobs jobs: a status in $(since "$before") s"
	stop
fi
if want react; then
	shop=$made/react
	"$TRUEUP" init "$shop" 2>/dev/null
	cp testdata/demo/02-island.dxf "$shop/drop/a.dxf"
	cp testdata/demo/06-wide-gap.dxf "$shop/drop/b.dxf"
	start "$shop"
	until [ -n "$(find "$shop" -path '*/a/1/job.json')" ] && [ -n "$(find "$shop" -path '*/b/1/job.json')" ]; do sleep 0.1; done
	sleep 12
	review=$(find "$shop/review" -name report.xlsx | head -n 1)
	if [ -n "$review" ]; then
		before=$(now)
		cp "$review" "$review.new"
		mv "$review.new" "$review"
		until grep -q 'decisions are not complete' "$shop.log"; do sleep 0.05; done
		echo "a saved workbook is answered after $(since "$before") s"
	fi
	before=$(now)
	echo '# changed' >>"$shop/trueup.toml"
	until grep -q 'settings read again' "$shop.log"; do sleep 0.05; done
	echo "saved settings are read after $(since "$before") s"
	before=$(now)
	echo forged >"$shop/register.xlsx"
	until [ "$(head -c 2 "$shop/register.xlsx")" = PK ]; do sleep 0.05; done
	echo "a forged register is right again after $(since "$before") s"
	stop
fi
if want drops; then
	shop=$made/drops n=${DROPS:-2000}
	mkdir "$made/kitchens"
	"$made/generate" kitchens "$made/kitchens" "$n"
	TIMEFORMAT='%R s, %U user and %S system s of processor'
	echo "check of $n: $({ time "$TRUEUP" check --out "$made/out" "$made/kitchens" >/dev/null 2>&1 || true; } 2>&1)"
	"$TRUEUP" init "$shop" 2>/dev/null
	mv "$made/kitchens" "$shop/.work/kitchens"
	{ time "$TRUEUP" watch "$shop" >>"$shop.log" 2>&1; } 2>"$made/took" &
	outer=$!
	until server=$(pgrep -P "$outer"); do sleep 0.1; done
	sleep 1
	before=$(now)
	mv "$shop/.work/kitchens" "$shop/drop/kitchens"
	until [ "$(find "$shop/ready" "$shop/review" "$shop/failed" -name job.json | wc -l)" -ge "$n" ]; do sleep 0.5; done
	echo "service, $n drops: $(since "$before") s, settle time included"
	kill -TERM "$server"
	wait "$outer" || true
	server=
	echo "  in all: $(cat "$made/took")"
fi
