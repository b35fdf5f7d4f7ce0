#!/usr/bin/env bash
# The Debian and RPM packages as an IT helper meets them: installed by the
# distribution's own tools, the service run by an ordinary user on a shop's
# folder, removed again with nothing left. Judges: dpkg, rpm, man, systemd.
# Wants root, in a machine that may be changed.
#
# alone
set -euo pipefail
shop="$WORK/package/shop" list="$WORK/package/list" user=trueup-package-test
passed=0 failed=0 service=""
check() { # WHAT COMMAND...
  local what=$1
  shift
  if "$@" >"$WORK/package/said" 2>&1; then
    passed=$((passed + 1))
  else
    failed=$((failed + 1))
    printf 'FAILED %s\n' "$what"
    sed 's/^/    /' "$WORK/package/said"
  fi
}
quiet() { [ "$(id -u)" -eq 0 ] && [ -z "$(command -v trueup)" ] && ! id "$user" && ! dpkg -s trueup; }
as_user() { setpriv --reuid="$user" --regid="$user" --clear-groups --no-new-privs env HOME=/nonexistent "$@"; }
soon() { # SECONDS COMMAND...: waits until the command succeeds
  local until=$((SECONDS + $1))
  shift
  until "$@"; do
    [ "$SECONDS" -lt "$until" ] || return 1
    sleep 0.2
  done
}
system() { # every path of the system, sorted, but for what builds and checks write themselves
  find / -xdev \( -path "$WORK" -o -path "$PWD" -o -path "$(go env GOCACHE)" -o -path "$(go env GOMODCACHE)" -o -path "${TMPDIR:-/tmp}" \
    -o -path /proc -o -path /sys -o -path /dev -o -path /run \) -prune -o -print 2>/dev/null | LC_ALL=C sort
}
tidy() {
  [ -z "$service" ] || kill -KILL "$service" 2>/dev/null || true
  if [ -e "$list" ]; then dpkg --purge trueup >/dev/null 2>&1 || true; fi
  userdel "$user" >/dev/null 2>&1 || true
}
for tool in dpkg rpm man systemd-analyze setpriv useradd bash zip; do
  command -v "$tool" >/dev/null || { echo "package: $tool is missing" >&2; exit 1; }
done
rm -rf "$WORK/package" && mkdir -p "$WORK/package"
quiet >/dev/null 2>&1 || { echo "package: wants root, no trueup installed and no user $user" >&2; exit 1; }
trap tidy EXIT

DIST="$WORK/package/dist" .ci/package 1.2.3-rc.1 deb/amd64 rpm/amd64 zip/amd64 >/dev/null
deb=$(echo "$WORK/package/dist"/*.deb) rpm=$(echo "$WORK/package/dist"/*.rpm) archive=$(echo "$WORK/package/dist"/*.zip)
sums() (cd "$WORK/package/dist" && sha256sum --check --strict SHA256SUMS)
check "checksums" sums

# Installed. The folder of dpkg's rules may leave documents out (as in slim
# images); this check wants to see them all.
system >"$list"
check "dpkg installs it" dpkg --path-include='/usr/share/*' -i "$deb"
check "dpkg finds every file as packed" bash -c 'test -z "$(dpkg --verify trueup)"'
for file in /usr/bin/trueup /usr/share/doc/trueup/copyright /usr/share/doc/trueup/README.md /usr/share/doc/trueup/third-party-licences.txt /usr/share/man/man1/trueup.1.gz \
  /usr/share/man/man1/trueup-watch.1.gz /usr/share/bash-completion/completions/trueup; do
  check "$file is there" test -s "$file"
done
check "all files belong to root" bash -c '! dpkg -L trueup | xargs -d "\n" stat -c "%U:%G %n" | grep -v "^root:root "'
check "licence text" grep -q "MIT License" /usr/share/doc/trueup/copyright
for page in /usr/share/man/man1/trueup*.1.gz; do
  check "manual page ${page##*/} without warnings" bash -c 'test -z "$(man --warnings -E UTF-8 -l -Tutf8 -Z "$1" 2>&1 >/dev/null)"' - "$page"
done
check "the manual shows the exit codes" bash -c 'man -l -E UTF-8 /usr/share/man/man1/trueup.1.gz | tr -s " \n" " " | grep -qF "1 something to review"'
complete() { # what the completion offers after "trueup st"; the shell's own parts are stood in for
  bash -c '_init_completion() { cur=st prev=trueup words=(trueup st) cword=1; }; compopt() { :; }
    source /usr/share/bash-completion/completions/trueup
    COMP_WORDS=(trueup st) COMP_CWORD=1 COMP_TYPE=9 COMP_KEY=9 COMP_LINE="trueup st" COMP_POINT=9 __start_trueup; printf "%s\n" "${COMPREPLY[@]}"' | grep -x "status *"
}
check "bash completes commands" complete

# As an ordinary user.
check "a user is made" useradd --system --user-group --no-create-home --shell /usr/sbin/nologin "$user"
check "a shop's folder for the user" install -d -o "$user" -g "$user" "$shop"
chmod a+x "$WORK" "$WORK/package"
check "version" bash -c "'$(command -v setpriv)' --reuid=$user --regid=$user --clear-groups /usr/bin/trueup version | grep -F '1.2.3-rc.1, commit $(git rev-parse HEAD)'"
check "trueup init" as_user /usr/bin/trueup init "$shop"
setpriv --reuid="$user" --regid="$user" --clear-groups --no-new-privs /usr/bin/trueup watch --log-file "$shop/watch.log" "$shop" 2>"$WORK/package/watch" &
service=$!
install -o "$user" -g "$user" -m 644 testdata/demo/03-vanity.dxf "$shop/drop/"
install -o "$user" -g "$user" -m 644 testdata/demo/02-island.dxf "$shop/drop/"
published() { compgen -G "$shop/$1/$2/*/result.json" >/dev/null; }
check "a template without objections is published in ready" soon 60 published ready 03-vanity
check "one with a stop flag is published in review" soon 60 published review 02-island
check "it runs as the user" test "$(stat -c %U "/proc/$service")" = "$user"
check "its files belong to the user" bash -c 'test -z "$(find "$1" ! -user "$2" -print -quit)"' - "$shop" "$user"
check "status" as_user /usr/bin/trueup status "$shop"
check "TERM reaches it" kill -TERM "$service"
stopped() { ! kill -0 "$service" 2>/dev/null; }
check "it stops within 30 s" soon 30 stopped
code=0
wait "$service" || code=$?
check "it stops cleanly (code $code)" test "$code" -eq 0
service=""
check "nothing half done is left" bash -c 'test -z "$(find "$1/drop" "$1/.work/claims" "$1/.work/stage" -type f)"' - "$shop"

# The unit that `trueup service install` writes, as it shows it to an ordinary
# user, judged by systemd.
unit="$WORK/package/trueup.service"
printed() { as_user /usr/bin/trueup service print "$shop" >"$unit"; }
check "the unit is shown" printed
check "the unit runs the installed program on the shop's folder" grep -Fx "ExecStart=\"/usr/bin/trueup\" \"watch\" \"$shop\"" "$unit"
check "the unit runs it as the folder's owner" grep -Fx "User=$user" "$unit"
check "systemd-analyze verify" bash -c 'said=$(systemd-analyze verify --man=no "$1" 2>&1); echo "$said"; test -z "$said"' - "$unit"
exposure() { # percent of full exposure by systemd's own reckoning; 10 of 10 is a unit without any protection
  systemd-analyze security --offline=true --threshold=30 --no-pager "$unit"
}
check "systemd-analyze security: exposed by 3.0 of 10 at most" exposure

# The others, unpacked only.
check "rpm knows the package" bash -c 'test "$(rpm -qp --qf "%{NAME} %{VERSION} %{ARCH} %{LICENSE}" "$1")" = "trueup 1.2.3~rc.1 x86_64 MIT"' - "$rpm"
check "rpm's digests" rpm -K --nosignature "$rpm"
check "rpm holds program, manual and licence" bash -c 'all=$(rpm -qlp "$1"); for f in /usr/bin/trueup /usr/share/man/man1/trueup.1.gz /usr/share/licenses/trueup/LICENSE; do grep -qx "$f" <<<"$all"; done' - "$rpm"
check "the zip is whole" zip -T "$archive"

# Removed.
check "dpkg removes it" dpkg --purge trueup
check "the user is removed" userdel "$user"
left() {
  system >"$list.after"
  ! LC_ALL=C comm -13 "$list" "$list.after" | grep -i trueup
}
check "nothing named trueup is left on the system" left
printf 'package: %d passed, %d failed\n' "$passed" "$failed"
[ "$failed" -eq 0 ]
