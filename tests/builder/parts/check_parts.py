#!/usr/bin/env python3
"""A baseline built in parts, by programs that run many jobs, and joined: the bytes of a single build.

    check_parts.py make|slurm|kubernetes --builder PROGRAM --samples FOLDER --packaging FOLDER

make: 4 and 16 parts under make -j. slurm: the script of the packaging folder on a Slurm of its own, one node on
loopback; a part is killed and queued again. kubernetes: the jobs of the packaging folder follow the schema beside
this file, and their commands, run by hand for each index, build the same. Exit status 77 if the tools are missing.
"""
import argparse
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PARTS = 16
SECONDS_TO_WAIT = 240


def skip(why):
    print("skipped:", why)
    sys.exit(77)


def run(command, folder, **options):
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False, **options)
    if done.returncode != 0:
        sys.exit(f"{command} in {folder} failed with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def wait_until(what, condition):
    for _ in range(SECONDS_TO_WAIT * 5):
        if condition():
            return
        time.sleep(0.2)
    sys.exit(f"waited {SECONDS_TO_WAIT} s for {what}")


class Valley:
    """A copy of the sample valley on a lattice with at least 16 rows of tiles, and its single build."""

    def __init__(self, arguments, folder):
        self.builder = str(Path(arguments.builder).resolve())
        self.packaging = Path(arguments.packaging).resolve()
        self.folder = folder / "a valley"
        shutil.copytree(arguments.samples, self.folder)
        recipe = (self.folder / "merrow.toml").read_text()
        coarse = "spacing_arcsec = 120"
        assert recipe.count(coarse) == 1
        (self.folder / "merrow.toml").write_text(recipe.replace(coarse, "spacing_arcsec = 30"))
        run([self.builder, "build", "merrow.toml", "-o", "single.sqlite"], self.folder)

    def check(self, joined, ways):
        single = (self.folder / "single.sqlite").read_bytes()
        if (self.folder / joined).read_bytes() != single:
            sys.exit(f"{joined}, built {ways}, differs from a single build")
        left = sorted(path.name for path in self.folder.glob("*part-*"))
        if left:
            sys.exit(f"left behind after the join: {left}")
        print(f"{ways}: the {len(single)} bytes of a single build")


MAKEFILE = """\
numbers := $(shell seq $(PARTS))
joined.sqlite: $(numbers:%=part-%.sqlite)
\t$(BUILDER) join $^ -o $@
part-%.sqlite:
\t$(BUILDER) build merrow.toml --part $*/$(PARTS) --jobs 1 -o $@
"""


def check_make(valley):
    if shutil.which("make") is None:
        skip("make is not installed")
    (valley.folder / "Makefile").write_text(MAKEFILE)
    for parts in (4, PARTS):
        plan = json.loads(run([valley.builder, "build", "merrow.toml", "--plan", str(parts)], valley.folder))
        assert [part["part"] for part in plan["parts"]] == [f"{i + 1}/{parts}" for i in range(parts)]
        run(["make", "-j", "4", f"PARTS={parts}", f"BUILDER={valley.builder}"], valley.folder)
        for part in range(parts):
            (valley.folder / f"part-{part + 1}.sqlite").unlink()
        valley.check("joined.sqlite", f"in {parts} parts under make")
        (valley.folder / "joined.sqlite").unlink()


def free_ports(count):
    sockets = [socket.socket() for _ in range(count)]
    for one in sockets:
        one.bind(("127.0.0.1", 0))
    ports = [one.getsockname()[1] for one in sockets]
    for one in sockets:
        one.close()
    return ports


SLURM_CONF = """\
ClusterName=merrow
SlurmctldHost={host}(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket={folder}/munge.socket
StateSaveLocation={folder}/state
SlurmdSpoolDir={folder}/spool
SlurmctldPidFile={folder}/slurmctld.pid
SlurmdPidFile={folder}/slurmd.pid
SlurmctldPort={ports[0]}
SlurmdPort={ports[1]}
ProctrackType=proctrack/pgid
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
MpiDefault=none
JobRequeue=1
ReturnToService=2
SlurmdParameters=config_overrides
NodeName={host} NodeAddr=127.0.0.1 CPUs=2 State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=INFINITE State=UP
"""


class Slurm:
    """One node on loopback, in a folder, without any of the machine's own settings."""

    def __init__(self, folder):
        self.folder = folder
        self.processes = []
        self.environment = {**os.environ, "SLURM_CONF": str(folder / "slurm.conf")}

    def start(self):
        for name in ("state", "spool"):
            (self.folder / name).mkdir(parents=True)
        key = self.folder / "munge.key"
        key.touch(0o600)
        key.write_bytes(os.urandom(1024))
        (self.folder / "slurm.conf").write_text(SLURM_CONF.format(
            host=socket.gethostname().split(".")[0], folder=self.folder, ports=free_ports(2)))
        self.begin("munged", "--foreground", "--force", "--key-file=munge.key", "--socket=munge.socket",
                   "--pid-file=munged.pid", "--log-file=munged.log", "--seed-file=munged.seed")
        wait_until("munged", (self.folder / "munge.socket").exists)
        self.begin("slurmctld", "-D")
        self.begin("slurmd", "-D")
        wait_until("the node", lambda: "idle" in self.said("sinfo", "--noheader", "--format=%T"))

    def begin(self, *command):
        # Absolute names: munged changes to the root folder.
        command = [part.replace("=munge", f"={self.folder}/munge") for part in command]
        with open(self.folder / f"{command[0]}.out", "wb") as log:
            self.processes.append(subprocess.Popen(command, cwd=self.folder, env=self.environment,
                                                   stdin=subprocess.DEVNULL, stdout=log, stderr=log))

    def said(self, *command):
        return subprocess.run(command, env=self.environment, capture_output=True, text=True, check=False).stdout

    def end(self):
        self.said("scancel", "--state=RUNNING,PENDING", "--user=root")
        for process in reversed(self.processes):
            process.terminate()
            try:
                process.wait(20)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


# The builder, but part 5 stands still in the middle of its first run until it is killed.
STUMBLING_BUILDER = """\
#!/bin/sh
if [ "${SLURM_ARRAY_TASK_ID:-}" = 5 ]; then
    echo "$SLURM_JOB_ID" >>part-5.runs
    if [ "$(wc -l <part-5.runs)" = 1 ]; then
        %(builder)s "$@" &
        sleep 0.3
        kill -STOP $! || true
        touch part-5.stopped
        wait
    fi
fi
exec %(builder)s "$@"
"""


def check_slurm(valley, folder):
    for tool in ("slurmctld", "slurmd", "munged", "sbatch"):
        if shutil.which(tool, path=os.environ["PATH"] + ":/usr/sbin") is None:
            skip(f"{tool} is not installed (Debian's slurm-wlm and munge)")
    if os.geteuid() != 0:
        skip("slurmd runs as root only")
    os.environ["PATH"] += ":/usr/sbin"
    stumbling = folder / "stumbling-builder"
    stumbling.write_text(STUMBLING_BUILDER % {"builder": valley.builder})
    stumbling.chmod(0o755)
    slurm = Slurm(folder / "slurm")
    try:
        slurm.start()
        environment = {**slurm.environment, "THIRSTLINE_BUILDER": str(stumbling)}
        join = run(["sh", str(valley.packaging / "slurm-build.sh"), "merrow.toml", str(PARTS), "joined.sqlite",
                    "--cpus-per-task=1"], valley.folder, env=environment).strip()
        wait_until("part 5", (valley.folder / "part-5.stopped").exists)
        part_5 = (valley.folder / "part-5.runs").read_text().strip()
        run(["scontrol", "requeue", part_5], folder, env=environment)
        # Slurm lets two minutes pass before it starts such a job again.
        state = ("squeue", f"--jobs={part_5}", "--noheader", "--format=%T")
        wait_until("the queue", lambda: "PENDING" in slurm.said(*state))
        run(["scontrol", "update", f"JobId={part_5}", "StartTime=now"], folder, env=environment)
        wait_until("the join", lambda: slurm.said("squeue", f"--jobs={join}", "--noheader").strip() == "")
        runs = (valley.folder / "part-5.runs").read_text().split()
        if runs != [part_5, part_5]:
            sys.exit(f"part 5 was not killed and started again: it ran as the jobs {runs}")
        for name in ("part-5.runs", "part-5.stopped"):
            (valley.folder / name).unlink()
        if not (valley.folder / "joined.sqlite").exists():
            logs = [path.read_text(errors="replace") for path in valley.folder.glob("slurm-*.out")]
            sys.exit("the join has written nothing:\n" + "\n".join(logs))
        valley.check("joined.sqlite", f"in {PARTS} parts under Slurm, one of them killed and queued again")
        again = subprocess.run(["sh", str(valley.packaging / "slurm-build.sh"), "merrow.toml", str(PARTS),
                                "joined.sqlite"], cwd=valley.folder, env=environment, capture_output=True, text=True,
                               check=False)
        assert again.returncode == 2 and "exists" in again.stderr, again
    finally:
        slurm.end()


def check_kubernetes(valley, folder):
    try:
        import jsonschema
        import yaml
    except ImportError as missing:
        skip(f"{missing.name} is not installed (Debian's python3-jsonschema and python3-yaml)")
    text = (valley.packaging / "kubernetes-build.yaml").read_text()
    jobs = list(yaml.safe_load_all(text))
    schema = json.loads((Path(__file__).parent / "kubernetes-job.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    for job in jobs:
        jsonschema.Draft202012Validator(schema).validate(job)
    # A schema that accepts anything would not be a check.
    for fault in (("completions: 16", 'completions: "16"'), ("completions: 16\n  ", ""), ("restartPolicy", "restart"),
                  ("memory: 2Gi", "memory: 2 GiB"), ('value: "16"', "value: 16")):
        assert fault[0] in text
        faulty = next(yaml.safe_load_all(text.replace(*fault)))
        assert not jsonschema.Draft202012Validator(schema).is_valid(faulty), fault
    parts, join = jobs
    assert join["spec"]["suspend"]
    settings = [{row["name"]: row["value"] for row in job["spec"]["template"]["spec"]["containers"][0]["env"]}
                for job in jobs]
    assert settings[1].items() <= settings[0].items(), settings
    completions = parts["spec"]["completions"]
    assert int(settings[0]["PARTS"]) == completions == PARTS
    programs = folder / "programs"
    programs.mkdir()
    (programs / "thirstline-builder").symlink_to(valley.builder)
    environment = {**os.environ, "PATH": f"{programs}:{os.environ['PATH']}"}

    def run_container(job, setting, **more):
        container = job["spec"]["template"]["spec"]["containers"][0]
        run(container["command"], valley.folder, env={**environment, **setting, **more})

    for index in range(completions):
        run_container(parts, settings[0], JOB_COMPLETION_INDEX=str(index))
    run_container(parts, settings[0], JOB_COMPLETION_INDEX="3")  # an index whose first container was lost
    run_container(join, settings[1])
    valley.check(settings[1]["OUTPUT"], f"in {completions} parts as the Kubernetes jobs do")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("way", choices=["make", "slurm", "kubernetes"])
    for name in ("builder", "samples", "packaging"):
        parser.add_argument(f"--{name}", required=True)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        valley = Valley(arguments, folder)
        if arguments.way == "make":
            check_make(valley)
        elif arguments.way == "slurm":
            check_slurm(valley, folder)
        else:
            check_kubernetes(valley, folder)


if __name__ == "__main__":
    main()
