# alone
# A templater against the service, with the rights of the README's recipe: races for
# links, pipes, exchanged folders and files that change, huge sparse files. Needs root, to
# be three users. ROUNDS=500 for a long run.
set -euo pipefail
"$PYTHON" -B testdata/outside/attack.py "$TRUEUP" "${ROUNDS:-25}"
