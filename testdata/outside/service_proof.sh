#!/usr/bin/env bash
# Proofs of the service at full size, with real processes on a real disk.
#
#   testdata/outside/service_proof.sh [kill|pair|many|latency|handles|full|cuts|protocol|unit|soak|all] [DIR]
#
# DIR is where the shop folders are made (default: a temporary folder on disk).
# full mounts a small tmpfs and needs root; soak takes 30 minutes (SOAK=5m for less).
set -euo pipefail
cd "$(dirname "$0")/../.."
what=${1:-all}
made=$(mktemp -d)
dir=${2:-$made/shops}
mkdir -p "$dir"
mounted=
finish() {
	if [ -n "$mounted" ]; then umount "$mounted"; fi
	rm -rf "$made"
}
trap finish EXIT
go test -c -tags outside -o "$made/service.test" ./pipeline/watch
cd pipeline/watch
prove() { "$made/service.test" -test.v -test.timeout 120m -shop "$dir" "$@"; }

want() { [ "$what" = all ] || [ "$what" = "$1" ]; }

if want kill; then
	echo "== 300 kills at random instants under load, one server"
	prove -test.run 'TestKilled/1_servers' -kills "${KILLS:-300}" -files "${FILES:-3000}"
fi
if want pair; then
	echo "== two servers on one folder, 2,000 files, with kills"
	prove -test.run 'TestKilled/2_servers' -kills "${KILLS:-100}" -files "${FILES:-2000}"
fi
if want many; then
	echo "== 10,000 templates at once"
	prove -test.run TestManyAtOnce -many "${MANY:-10000}"
fi
if want latency; then
	echo "== from the rename into drop/ to the published folder"
	prove -test.run TestLatency -latency "${LATENCY:-500}"
fi
if want handles; then
	echo "== few file handles"
	(ulimit -n 40 && prove -test.run TestManyAtOnce -many 300)
fi
if want full; then
	echo "== a disk filled to the brim and freed"
	mkdir "$made/small"
	mount -t tmpfs -o size=12m tmpfs "$made/small"
	mounted=$made/small
	mkdir "$made/small/shops"
	"$made/service.test" -test.v -test.run TestFullDisk -shop "$made/small/shops"
	umount "$mounted"
	mounted=
fi
if want cuts; then
	echo "== the file system stops at every single operation"
	prove -test.run TestPowerCut -cuts 1
fi
if want protocol; then
	echo "== every deed at every instant of a claim"
	prove -test.run 'TestProtocol|TestPowerCutOfDecision' -model 1 -cuts 1
fi
if want unit; then
	echo "== the systemd unit"
	go build -o "$made/trueup" ../../cmd/trueup
	"$made/trueup" init "$made/shop"
	"$made/trueup" service print --user daemon "$made/shop" >"$made/trueup.service"
	systemd-analyze verify "$made/trueup.service"
	systemd-analyze security --offline=true --threshold=20 "$made/trueup.service" | tail -1
fi
if want soak; then
	echo "== soak: memory, handles and goroutines stay flat"
	nice -n 19 "$made/service.test" -test.v -test.timeout 240m -test.run TestSoak -soak "${SOAK:-30m}" -shop "$dir"
fi
