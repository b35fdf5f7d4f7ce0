#!/usr/bin/env bash
# The service's proofs in a small size: some 30 seconds.
#
# alone
set -euo pipefail
proof=testdata/outside/service_proof.sh
KILLS=20 FILES=200 bash "$proof" kill "$WORK/service"
KILLS=10 FILES=150 bash "$proof" pair "$WORK/service"
MANY=300 bash "$proof" many "$WORK/service"
LATENCY=20 bash "$proof" latency "$WORK/service"
bash "$proof" cuts "$WORK/service"
