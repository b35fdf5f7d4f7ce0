#!/usr/bin/env bash
# A shop behind a file server, with the rights and the shares of the README's recipe:
# smbd serves the folders on the loopback, smbclient is a templater and one of the
# office, and the service works on the folder beneath. Judges: Samba and the system's
# own rights. Wants root, in a machine that may be changed; a minute at most.
#
# alone
set -euo pipefail
top="$WORK/share" shop="$WORK/share/shop" port=${PORT:-14450}
stone=trueup-test-stone ana=trueup-test-ana rosa=trueup-test-rosa templaters=trueup-test-drop office=trueup-test-office
passed=0 failed=0 smbd="" service=""
mkdir -p "$top"
check() { # WHAT COMMAND...
	local what=$1
	shift
	if "$@" >"$top/said" 2>&1; then
		passed=$((passed + 1))
	else
		failed=$((failed + 1))
		printf 'FAILED %s\n' "$what"
		sed 's/^/    /' "$top/said"
	fi
}
refused() { ! "$@"; }
soon() { # SECONDS COMMAND...: waits until the command succeeds
	local until=$((SECONDS + $1))
	shift
	until "$@"; do
		[ "$SECONDS" -lt "$until" ] || return 1
		sleep 0.2
	done
}
tidy() {
	[ -z "$service" ] || { kill -TERM "$service" && wait "$service"; } 2>/dev/null || true
	[ -z "$smbd" ] || { kill -TERM "$smbd" && wait "$smbd"; } 2>/dev/null || true
	nobody_left
}
nobody_left() {
	for user in "$stone" "$ana" "$rosa"; do userdel "$user" >/dev/null 2>&1 || true; done
	for group in "$stone" "$ana" "$rosa" "$templaters" "$office"; do groupdel "$group" >/dev/null 2>&1 || true; done
}
trap tidy EXIT
command -v smbd smbclient smbpasswd >/dev/null
[ "$(id -u)" -eq 0 ]

nobody_left # of a run that was cut off

# The recipe of the README, parts As a service and Over a file server.
groupadd "$templaters"
groupadd "$office"
useradd --system --no-create-home --groups "$templaters,$office" "$stone"
useradd --no-create-home --groups "$templaters" "$ana"
useradd --no-create-home --groups "$templaters,$office" "$rosa"
"$TRUEUP" init "$shop" 2>/dev/null
chown -R "$stone:$office" "$shop"
find "$shop" -type d -exec chmod 2755 {} +
chgrp "$templaters" "$shop/drop"
chmod 2775 "$shop/drop" "$shop/review"
for dir in "$WORK" "$top"; do chmod a+x "$dir"; done
mkdir -p "$top/samba/private"
cat >"$top/smb.conf" <<C
[global]
   security = user
   map to guest = never
   interfaces = 127.0.0.1
   bind interfaces only = yes
   smb ports = $port
   server min protocol = SMB2
   disable netbios = yes
   load printers = no
   log file = $top/samba/log.%m
   pid directory = $top/samba
   lock directory = $top/samba
   state directory = $top/samba
   cache directory = $top/samba
   ncalrpc dir = $top/samba/ncalrpc
   private dir = $top/samba/private
   passdb backend = tdbsam:$top/samba/private/passdb.tdb
   follow symlinks = no
   wide links = no
   veto files = /.work/
   create mask = 0664
   force create mode = 0664
   directory mask = 2775
   force directory mode = 2775
[drop]
   path = $shop/drop
   valid users = @$templaters
   force group = $templaters
   read only = no
[office]
   path = $shop
   valid users = @$office
   force group = $office
   read only = no
C
for user in "$ana" "$rosa"; do printf 'stone\nstone\n' | smbpasswd -c "$top/smb.conf" -s -a "$user" >/dev/null; done
# In a session of its own: told to end, it ends its whole process group.
setsid smbd --foreground --no-process-group --configfile="$top/smb.conf" >"$top/smbd.log" 2>&1 &
smbd=$!
smb() { # USER SHARE COMMANDS: fails when one of them does
	local said
	said=$(smbclient -s "$top/smb.conf" "//127.0.0.1/$2" -p "$port" -U "$1%stone" -c "$3" 2>&1) || { echo "$said" && return 1; }
	echo "$said"
	! grep -q 'NT_STATUS_' <<<"$said"
}
check "the file server answers" soon 15 smb "$ana" drop ls
setpriv --reuid="$stone" --regid="$stone" --init-groups env HOME=/nonexistent "$TRUEUP" watch "$shop" >"$top/service.log" 2>&1 &
service=$!
published() { [ -e "$(find "$shop/ready" "$shop/review" "$shop/failed" -path "*/$1/job.json" 2>/dev/null | head -n 1)" ]; }

# What templaters do: put, in a folder of theirs, under another name first, slowly, large ones, again.
# A drawing half there is a copy that was interrupted, and waits for its rest.
demo=testdata/demo
check "a drawing is put" smb "$ana" drop "put $demo/03-vanity.dxf vanity.dxf"
check "a folder is made, and a drawing put into it" smb "$ana" drop "mkdir site; cd site; put $demo/02-island.dxf island.dxf"
check "a copy under another name is renamed" smb "$ana" drop "put $demo/10-apron-sink.dxf sink.part; rename sink.part sink.dxf"
{
	# a large one: the same drawing with some megabytes of remarks before it
	for _ in $(seq 120000); do printf '999\nremark of a long export, of no use\n'; done
	cat "$demo/04-laundry-inches.dxf"
} >"$top/large.dxf"
check "a large drawing is put" smb "$ana" drop "put $top/large.dxf large.dxf"
check "a note that is no drawing is put" smb "$ana" drop "put $demo/../../LICENSE note.txt"
# A slow writer: half of the file stands there for longer than the settle time.
head -c $(($(stat -c %s "$demo/05-small-gaps.dxf") / 2)) "$demo/05-small-gaps.dxf" >"$top/half.dxf"
check "half a drawing is put" smb "$ana" drop "put $top/half.dxf slow.dxf"
check "a drawing is published" soon 20 published "vanity/1"
check "one in a folder is published" soon 20 published "site/island/1"
check "a renamed one is published" soon 20 published "sink/1"
check "a large one is published" soon 30 published "large/1"
check "half a drawing is not taken" test -e "$shop/drop/slow.dxf"
check "the whole drawing takes its place" smb "$ana" drop "put $demo/05-small-gaps.dxf slow.dxf"
check "it is published once it is whole" soon 20 published "slow/1"
check "a corrected drawing is put under the same name" smb "$ana" drop "put $demo/01-kitchen-l.dxf vanity.dxf"
check "it is the next revision" soon 20 published "vanity/2"
check "what is no drawing stays" test -e "$shop/drop/note.txt"
check "the templater's folder stays" test -d "$shop/drop/site"
check "a templater takes his own file away" smb "$ana" drop "del note.txt"

# What the office does: read all of it, save a workbook as spreadsheet programs do.
place=review/site/island/1
check "the office reads a report" smb "$rosa" office "cd $place; get report.xlsx $top/report.xlsx"
check "the office reads a released set" smb "$rosa" office "cd ready/sink/1; get clean.dxf $top/clean.dxf"
check "the office reads the register" soon 20 smb "$rosa" office "get register.xlsx $top/register.xlsx"
cat >"$top/accept.py" <<'P'
import sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
sheet = book["Flags"]
head = next(r for r in range(1, 40) if any(c.value == "Decision" for c in sheet[r]))
column = {c.value: c.column for c in sheet[head] if c.value}
for row in range(head + 1, sheet.max_row + 1):
    values = [str(c.value or "").lower() for c in sheet[row]]
    if "stop" in values:
        for name, value in (("Decision", "accept"), ("By", "Rosa"), ("Why", "brackets are on order")):
            sheet.cell(row, column[name]).value = value
book.save(sys.argv[2])
P
check "the workbook is filled in" "$PYTHON" -B "$top/accept.py" "$top/report.xlsx" "$top/filled.xlsx"
check "a lock lies beside it while it is open" smb "$rosa" office "cd $place; put $demo/../../LICENSE ~\$report.xlsx"
check "it is saved: a temporary file, renames, the old one removed" smb "$rosa" office \
	"cd $place; put $top/filled.xlsx 4F2A10.tmp; rename report.xlsx 77B0C1.tmp; rename 4F2A10.tmp report.xlsx; del 77B0C1.tmp"
sleep 4
check "nothing is decided while it is open" test -d "$shop/$place"
check "it is closed" smb "$rosa" office "cd $place; del ~\$report.xlsx"
check "the decision is carried out" soon 25 test -e "$shop/ready/site/island/1/job.json"

# What nobody may.
check "a templater does not see the office's share" refused smb "$ana" office ls
check "a templater does not leave drop/" refused smb "$ana" drop "get ../trueup.toml $top/stolen"
setpriv --reuid="$ana" --regid="$ana" --init-groups ln -s /etc/passwd "$shop/drop/way-out.dxf"
setpriv --reuid="$ana" --regid="$ana" --init-groups ln -s ../ready "$shop/drop/way-in"
check "a link does not lead out" refused smb "$ana" drop "get way-out.dxf $top/stolen"
check "a link does not lead into ready/" refused smb "$ana" drop "cd way-in; ls"
check "the office does not write ready/" refused smb "$rosa" office "cd ready/sink/1; put $demo/03-vanity.dxf clean.dxf"
check "the office does not remove from ready/" refused smb "$rosa" office "cd ready/sink/1; del clean.dxf"
check "the office releases nothing by hand" refused smb "$rosa" office "rename review/vanity ready/by-hand"
check "the office does not write job.json in review/" refused smb "$rosa" office "cd review/vanity/2; put $demo/03-vanity.dxf job.json"
check "the office does not write the register" refused smb "$rosa" office "put $demo/03-vanity.dxf register.xlsx"
check "the office does not write the settings" refused smb "$rosa" office "put $demo/03-vanity.dxf trueup.toml"
check "nobody sees .work" refused smb "$rosa" office "cd .work; ls"
same() { # the sets in ready/ say what was drawn
	local dir
	for dir in "$shop"/ready/*/1 "$shop"/ready/site/*/1; do
		[ -e "$dir/job.json" ] || continue
		[ "$(sha256sum <"$dir/original.dxf" | cut -d' ' -f1)" = "$("$PYTHON" -c 'import json,sys; print(json.load(open(sys.argv[1]))["sha256"])' "$dir/job.json")" ] || return 1
	done
}
check "what is released is what was drawn" same
well() { setpriv --reuid="$stone" --regid="$stone" --init-groups "$TRUEUP" status --check "$shop"; }
check "the status has no alarm" well
rights() { [ "$(stat -c %a "$shop/ready/sink/1/clean.dxf") $(stat -c %a "$shop/.work") $(stat -c %G "$shop/ready/sink/1/clean.dxf")" = "644 700 $office" ]; }
check "the rights are those of the README" rights
before=$SECONDS
kill -TERM "$service"
wait "$service" || true
service=""
check "the service ends within 5 s" test $((SECONDS - before)) -le 6
printf 'share: %d checks passed, %d failed\n' "$passed" "$failed"
if [ "$failed" -gt 0 ]; then
	tail -n 20 "$top/service.log"
	exit 1
fi
