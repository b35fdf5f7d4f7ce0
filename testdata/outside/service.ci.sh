#!/usr/bin/env bash
# The service's proofs in a small size: some 30 seconds.
#
# alone
set -euo pipefail
proof=testdata/outside/service_proof.sh
KILLS=15 FILES=120 bash "$proof" kill "$WORK/service"
KILLS=8 FILES=100 bash "$proof" pair "$WORK/service"
MANY=150 bash "$proof" many "$WORK/service"
LATENCY=10 bash "$proof" latency "$WORK/service"
bash "$proof" cuts "$WORK/service"
