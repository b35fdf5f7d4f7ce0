#!/usr/bin/env python3
"""Attacks the real service as an unprivileged templater, and as the office.

usage: attack.py TRUEUP ROUNDS

The shop has the rights of the README's recipe: the service's user owns it, templaters
write drop/ only, the office review/ too. Each attack runs in a process of its own, as
its user, ROUNDS times. Whatever they do, afterwards

  - another job's released folder is what it was: names, bytes, inodes;
  - every released original and clean drawing belongs to the service and nobody else
    may write it; its digest is what job.json and result.json say;
  - nothing that lies outside drop/ was published;
  - a fresh drawing is still released within seconds, and the service ends when told.

Ends with 1 and a line a fault. Attacks that never hit their window prove nothing;
how often each did is printed.
"""

import ctypes
import errno
import hashlib
import json
import os
import random
import shutil
import signal
import stat
import subprocess
import sys
import tempfile
import time

SERVICE, TEMPLATER, OFFICE = 61000, 61001, 61002
TEMPLATERS, OFFICES = 61010, 61020
GROUPS = {SERVICE: [TEMPLATERS, OFFICES], TEMPLATER: [TEMPLATERS], OFFICE: [TEMPLATERS, OFFICES]}
DEMO = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "demo")
SECRET = "known to root alone\n"
ROUND = 0.3  # seconds of a round: longer than the service's settle time
libc = ctypes.CDLL(None, use_errno=True)
RENAME_EXCHANGE, AT_FDCWD = 2, -100
faults = []


def fault(text):
    faults.append(text)
    print("FAULT:", text, flush=True)


def exchange(a, b):
    """Swaps two names in one step (renameat2, Linux)."""
    if libc.renameat2(AT_FDCWD, os.fsencode(a), AT_FDCWD, os.fsencode(b), RENAME_EXCHANGE) != 0:
        raise OSError(ctypes.get_errno(), "exchange", a)


def become(uid):
    os.setgroups(GROUPS[uid])
    os.setgid(uid)
    os.setuid(uid)
    os.umask(0o002)


def drawing(words=""):
    """A drawing that is released as it stands, with a comment that tells it from others."""
    with open(os.path.join(DEMO, "05-small-gaps.dxf"), "rb") as f:
        return b"999\r\n" + words.encode() + b"\r\n" + f.read()


def put(path, data):
    temporary = os.path.join(os.path.dirname(path), "." + os.path.basename(path) + ".part")
    with open(temporary, "wb") as f:
        f.write(data)
    os.rename(temporary, path)


def race(one, other, seconds=ROUND):
    """Exchanges two names again and again, at uneven times. Returns how often; 0 when the first was taken at once."""
    n, end = 0, time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            exchange(one, other)
            n += 1
        except FileNotFoundError:
            return n  # taken
        time.sleep(random.choice((0, 0, 0, 0.0002, 0.002)))
    return n


def clear(path):
    try:
        if os.path.isdir(path) and not os.path.islink(path):
            shutil.rmtree(path, ignore_errors=True)
        else:
            os.unlink(path)
    except FileNotFoundError:
        pass


# The attacks: each is one round, in the shop, and returns how often it acted.


def folder_for_link(i):
    """A sub-folder with a file of a release's name is exchanged for a link to a release."""
    name = random.choice(["original.dxf", "clean.dxf", "report.xlsx.dxf"])
    folder, link = "drop/f%d" % i, "drop/.link%d" % i
    os.mkdir(folder)
    put(folder + "/" + name, drawing("folder %d" % i))
    os.symlink(random.choice(["../ready/victim/1", "../.work/claims", "../../outside"]), link)
    n = race(folder, link, ROUND + random.random() * 0.3)
    for path in folder, link:
        if os.path.islink(path):
            os.unlink(path)
    return n


def folder_above_for_link(i):
    """The same two folders up."""
    folder, link = "drop/g%d" % i, "drop/.up%d" % i
    os.makedirs(folder + "/1")
    put(folder + "/1/original.dxf", drawing("above %d" % i))
    os.symlink("../ready/victim", link)
    n = race(folder, link, ROUND + random.random() * 0.3)
    for path in folder, link:
        if os.path.islink(path):
            os.unlink(path)
    return n


def file_for_pipe(i):
    path, pipe = "drop/p%d.dxf" % i, "drop/.pipe%d" % i
    os.mkfifo(pipe)
    put(path, drawing("pipe %d" % i))
    n = race(path, pipe, ROUND + random.random() * 0.3)
    for p in path, pipe:
        if os.path.lexists(p) and stat.S_ISFIFO(os.lstat(p).st_mode):
            clear(p)
    return n


def file_for_link(i):
    path, link = "drop/l%d.dxf" % i, "drop/.to%d" % i
    os.symlink(random.choice(["../ready/victim/1/original.dxf", "../../outside/secret.dxf", "/etc/passwd"]), link)
    put(path, drawing("link %d" % i))
    n = race(path, link, ROUND + random.random() * 0.3)
    for p in path, link:
        if os.path.islink(p):
            clear(p)
    return n


def written_on(i):
    """The file is written through an open handle before, while and after it is taken."""
    path = "drop/w%d.dxf" % i
    put(path, drawing("written %06d" % 0))
    n, end = 0, time.monotonic() + ROUND + random.random() * 0.3
    info = os.stat(path)
    with open(path, "r+b") as f:
        time.sleep(random.random() * 0.25)
        while time.monotonic() < end:
            n += 1
            os.pwrite(f.fileno(), b"999\r\nwritten %06d" % n, 0)
            try:
                os.utime(path, ns=(info.st_atime_ns, info.st_mtime_ns))
            except FileNotFoundError:
                pass
        for _ in range(20):  # and long after
            time.sleep(0.02)
            os.pwrite(f.fileno(), b"999\r\nforged! %06d" % n, 0)
    return n


def sparse(i):
    path = "drop/s%d.dxf" % (i % 3)
    time.sleep(ROUND)
    if os.path.lexists(path):
        return 0
    with open("drop/.sparse", "wb") as f:
        f.truncate(8 << 40)
    os.rename("drop/.sparse", path)
    return 1


def rights_gone(i):
    """Nobody may read the file once it was seen."""
    path = "drop/r%d.dxf" % i
    put(path, drawing("rights %d" % i))
    end = time.monotonic() + ROUND
    n = 0
    while time.monotonic() < end:
        try:
            os.chmod(path, 0 if n % 2 else 0o664)
            n += 1
        except FileNotFoundError:
            return n
        time.sleep(random.random() * 0.01)
    try:
        os.chmod(path, 0o664)
    except FileNotFoundError:
        pass
    return n


def touched(i):
    path = "drop/t.dxf"
    if not os.path.exists(path):
        put(path, drawing("touched %d" % i))
    end = time.monotonic() + ROUND
    n = 0
    while time.monotonic() < end:
        try:
            os.utime(path)
            n += 1
        except FileNotFoundError:
            break
        time.sleep(0.02)
    return n


def office_exchanges(i):
    """The office exchanges files and folders in review/ for pipes, links and other drawings."""
    jobs = sorted(os.listdir("review"))
    if not jobs:
        time.sleep(ROUND)
        return 0
    folder = "review/%s/1" % random.choice(jobs)
    if not os.path.isdir(folder):
        time.sleep(ROUND)
        return 0
    name = folder + "/" + random.choice(["report.xlsx", "clean.dxf", "result.json", "job.json", "original.dxf"])
    other = folder + "/.other%d" % i
    try:
        {0: lambda: os.mkfifo(other), 1: lambda: os.symlink("../../../ready/victim/1/clean.dxf", other),
         2: lambda: put(other, b"forged by the office")}[i % 3]()
        n = race(name, other, ROUND)
        if n % 2 and os.path.lexists(name):
            exchange(name, other)  # as it was
        clear(other)
        return n
    except OSError as e:
        if e.errno in (errno.ENOENT, errno.EACCES, errno.EPERM):
            time.sleep(ROUND)
            return 0
        raise


def office_exchanges_folders(i):
    """The office exchanges the folders of two jobs in review/."""
    jobs = sorted(os.listdir("review"))
    if len(jobs) < 2:
        time.sleep(ROUND)
        return 0
    one, other = ("review/" + name for name in random.sample(jobs, 2))
    n = race(one, other, ROUND)
    if n % 2:
        exchange(one, other)  # as it was
    return n


ATTACKS = [(TEMPLATER, a) for a in (folder_for_link, folder_above_for_link, file_for_pipe, file_for_link, written_on, sparse, rights_gone, touched)]
ATTACKS += [(OFFICE, office_exchanges), (OFFICE, office_exchanges_folders)]


def start(attack, uid, shop, rounds):
    """Runs the rounds of an attack in a process of its own; it ends with 0 and says how often it acted."""
    pid = os.fork()
    if pid:
        return pid
    status = 1
    try:
        become(uid)
        os.chdir(shop)
        random.seed(attack.__name__)
        total = sum(attack(i) for i in range(rounds))
        print("%-24s %d rounds, acted %d times" % (attack.__name__, rounds, total), flush=True)
        status = 0 if total else 2
    except BaseException as e:  # told, whatever it is
        print("%s: %r" % (attack.__name__, e), flush=True)
    finally:
        os._exit(status)


def run(*command, **kw):
    subprocess.run(command, check=True, **kw)


def make_shop(trueup, base):
    shop = os.path.join(base, "shop")
    run(trueup, "init", shop, stderr=subprocess.DEVNULL)
    with open(os.path.join(shop, "trueup.toml"), "w") as f:
        f.write("[watch]\nsettle = 0.1\npatience = 1\nrescan = 0.2\ndecisions = 0.2\nregister = 0.5\nworkers = 2\nshutdown = 2\n")
    # The README's recipe, with numbers for the names.
    for top, folders, _ in os.walk(shop):
        for name in [top] + [os.path.join(top, f) for f in folders]:
            os.chmod(name, 0o2755)
    for top, folders, files in os.walk(shop):
        for name in [top] + [os.path.join(top, f) for f in folders + files]:
            os.chown(name, SERVICE, OFFICES)
    os.chown(os.path.join(shop, "drop"), -1, TEMPLATERS)
    for name in "drop", "review":
        os.chmod(os.path.join(shop, name), 0o2775)
    run("setfacl", "--default", "--modify", "group::rwx,other::rx", os.path.join(shop, "drop"))
    outside = os.path.join(base, "outside")
    os.mkdir(outside)
    with open(os.path.join(outside, "secret.dxf"), "w") as f:
        f.write(SECRET)
    os.chmod(outside, 0o777)
    return shop


def serve(trueup, shop, log):
    groups = ",".join(map(str, GROUPS[SERVICE]))
    return subprocess.Popen(["setpriv", "--reuid", str(SERVICE), "--regid", str(SERVICE), "--groups", groups,
                             "--inh-caps=-all", "--bounding-set=-all", "sh", "-c", 'umask 0002; exec "$@"', "sh", trueup, "watch", shop], stderr=log)


def wait_for(what, path, seconds):
    end = time.monotonic() + seconds
    while not os.path.exists(path):
        if time.monotonic() > end:
            fault("%s: %s did not come within %d s" % (what, path, seconds))
            return False
        time.sleep(0.05)
    return True


def state_of(folder):
    """Names, inodes, owners, modes and digests of a folder."""
    found = {}
    for name in sorted(os.listdir(folder)):
        path = os.path.join(folder, name)
        info = os.lstat(path)
        if not stat.S_ISREG(info.st_mode):
            found[name] = (info.st_ino, info.st_uid, info.st_mode, "")
            continue
        with open(path, "rb") as f:
            found[name] = (info.st_ino, info.st_uid, info.st_mode, hashlib.sha256(f.read()).hexdigest())
    return found


def drop_as_templater(shop, name, data):
    pid = os.fork()
    if pid == 0:
        try:
            become(TEMPLATER)
            put(os.path.join(shop, "drop", name), data)
            os._exit(0)
        except BaseException as e:
            print(repr(e), flush=True)
            os._exit(1)
    if os.waitpid(pid, 0)[1] != 0:
        fault("the templater could not drop " + name)


def prove_released(shop):
    """Looks at every folder in ready/. Returns how many there are."""
    count = 0
    for top, _, files in os.walk(os.path.join(shop, "ready")):
        if "job.json" not in files:
            continue
        count += 1
        with open(os.path.join(top, "job.json")) as f:
            card = json.load(f)
        with open(os.path.join(top, "result.json")) as f:
            result = json.load(f)
        place = os.path.relpath(top, os.path.join(shop, "ready"))
        if place != "%s/%d" % (card["job"], card["revision"]) or result["job"] != card["job"]:
            fault("%s holds the release of %s, revision %d" % (place, card["job"], card["revision"]))
        for folder in top, os.path.dirname(top):
            info = os.lstat(folder)
            if info.st_uid != SERVICE or info.st_mode & 0o022:
                fault("%s: owner %d, mode %o" % (folder, info.st_uid, info.st_mode))
        for name in files:
            path = os.path.join(top, name)
            info = os.lstat(path)
            if not stat.S_ISREG(info.st_mode):
                fault("%s is no file" % path)
                continue
            with open(path, "rb") as f:
                data = f.read()
            if SECRET.encode() in data or b"root:x:" in data or b"forged by the office" in data:
                fault("%s holds what was never dropped" % path)
            if info.st_uid != SERVICE or info.st_mode & 0o022:
                fault("%s: owner %d, mode %o" % (path, info.st_uid, info.st_mode))
            if name == "original.dxf":
                digest = hashlib.sha256(data).hexdigest()
                if digest != card["sha256"] or digest != result["source"]["sha256"]:
                    fault("%s is not what was measured" % path)
    return count


def attack(trueup, rounds, base, log):
    shop = make_shop(trueup, base)
    service = serve(trueup, shop, log)
    try:
        drop_as_templater(shop, "victim.dxf", drawing("victim"))
        with open(os.path.join(DEMO, "06-wide-gap.dxf"), "rb") as f:
            undecided = f.read()
        for i in range(4):
            drop_as_templater(shop, "undecided-%d.dxf" % i, b"999\r\n%d\r\n" % i + undecided)
        victim = os.path.join(shop, "ready/victim/1")
        if not wait_for("before", victim, 30) or not wait_for("before", os.path.join(shop, "review/undecided-3/1"), 30):
            return
        before = state_of(victim)
        began = time.monotonic()
        running = {start(a, uid, shop, rounds): a.__name__ for uid, a in ATTACKS}
        while running:
            pid, status = os.wait()
            if pid == service.pid:
                fault("the service ended while it was attacked")
                return
            if pid in running and os.waitstatus_to_exitcode(status) != 0:
                fault("the attack %s did not run or never acted" % running[pid])
            running.pop(pid, None)
        print("%.0f s of attacks" % (time.monotonic() - began), flush=True)
        for i in range(4):  # more than there are workers
            drop_as_templater(shop, "after-%d.dxf" % i, drawing("after %d" % i))
        for i in range(4):
            wait_for("after the attacks", os.path.join(shop, "ready/after-%d/1" % i), 30)
        if state_of(victim) != before:
            fault("another job's release was changed: %r, was %r" % (state_of(victim), before))
        print("%d released folders proven" % prove_released(shop), flush=True)
        with open(os.path.join(base, "outside", "secret.dxf")) as f:
            if f.read() != SECRET or len(os.listdir(os.path.join(base, "outside"))) != 1:
                fault("something outside the shop was changed")
        status = subprocess.run([trueup, "status", shop], timeout=30, stdout=subprocess.DEVNULL)
        if status.returncode != 0:
            fault("status ends with %d" % status.returncode)
    finally:
        if service.poll() is None:
            service.send_signal(signal.SIGTERM)
            try:
                service.wait(15)
            except subprocess.TimeoutExpired:
                fault("the service does not end when told")
                service.kill()
                service.wait()


def too_long(*_):
    raise TimeoutError("attack.py: it hangs")


def main():
    if os.geteuid() != 0:
        sys.exit("attack.py: has to be root, to be the service, a templater and the office")
    trueup, rounds = os.path.abspath(sys.argv[1]), int(sys.argv[2])
    for tool in "setpriv", "setfacl":
        if shutil.which(tool) is None:
            sys.exit("attack.py: %s is not there; install it" % tool)
    signal.signal(signal.SIGALRM, too_long)
    signal.alarm(120 + 2 * rounds)
    base = tempfile.mkdtemp(prefix="trueup-attack-")
    os.chmod(base, 0o755)
    program = os.path.join(base, "trueup")  # where every user may run it
    shutil.copy(trueup, program)
    os.chmod(program, 0o755)
    try:
        with open(os.path.join(base, "log"), "w+") as log:
            try:
                attack(program, rounds, base, log)
            except Exception as e:  # told with the service's log
                fault(repr(e))
            if faults:
                log.seek(0)
                lines = log.read().splitlines()
                print("the end of the service's log:", *lines[-30:], sep="\n")
    finally:
        shutil.rmtree(base, ignore_errors=True)
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
