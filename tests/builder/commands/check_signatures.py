#!/usr/bin/env python3
"""What the programs sign is checked by Debian's minisign, and what minisign signs is checked by them.

    check_signatures.py --builder PROGRAM --lookup PROGRAM --recipe FILE
"""
import argparse
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

EXIT_USAGE, EXIT_BAD_INPUT, EXIT_BAD_DATABASE, EXIT_IO = 2, 3, 4, 5

# Made by minisign 0.11 for this test alone; its password is "wet boots". (To make one here takes seconds.)
LOCKED_PUBLIC_KEY = """untrusted comment: minisign public key 53B344A3D6097D6F
RWRvfQnWo0SzU+kWhN//HyODiYwFbBMfO7QYXsaM0YhVdFsRrztAezvu
"""
LOCKED_KEY = """untrusted comment: minisign encrypted secret key
RWRTY0Iy9o6+sSWVcJUKH19woKywmRlOMoQwn6ZcYJcWLpdvE2QAAAACAAAAAAAAAEAAAAAAxzMxqsT/fc7EBe+ujNmoaJLuKBuS\
2dGNtxP3AxmEYLzmIEXn6e6hzElrz8uN5pfTNES8G9Bdolg1IJjQSccQyEEyuORCC6CnIbPul8u9eNdI8KMGsuV92tM7SXIQlHznuyuVCXPBpkw=
"""


class Check:
    def __init__(self, builder, lookup, recipe, work):
        self.builder, self.lookup, self.recipe, self.work = builder, lookup, recipe, work

    def run(self, *command, status=0, says="", **more):
        done = subprocess.run([str(word) for word in command], cwd=self.work, capture_output=True, text=True,
                              check=False, **more)
        if done.returncode != status or says not in done.stdout + done.stderr:
            raise SystemExit(f"{' '.join(map(str, command))}\nleft with {done.returncode}, not {status}, or did not "
                             f"say {says!r}:\n{done.stdout}{done.stderr}")
        return done.stdout

    def verify(self, *options, **more):
        return self.run(self.lookup, "verify", "--db", "merrow.sqlite", *options, **more)

    def build(self, *options, **more):
        return self.run(self.builder, "build", self.recipe, "-o", "merrow.sqlite", "--overwrite", *options, **more)

    def keys(self):
        """A pair without a password, and one with."""
        self.run("minisign", "-G", "-W", "-p", "plain.pub", "-s", "plain.key")
        (self.work / "locked.pub").write_text(LOCKED_PUBLIC_KEY, encoding="utf-8")
        (self.work / "locked.key").write_text(LOCKED_KEY, encoding="utf-8")
        (self.work / "password").write_text("wet boots\n", encoding="utf-8")
        (self.work / "wrong").write_text("dry boots\n", encoding="utf-8")

    def signed_here_checked_there(self):
        for name, options in (("plain", []), ("locked", ["--sign-password", "password"])):
            self.build("--sign-key", f"{name}.key", *options)
            self.run("minisign", "-V", "-m", "merrow.sqlite", "-p", f"{name}.pub",
                     says="Trusted comment: file:merrow.sqlite")
            self.verify("--key", f"{name}.pub", says="signed with the key")
        self.run(self.builder, "join", "merrow.sqlite", "-o", "joined.sqlite", "--sign-key", "plain.key")
        self.run("minisign", "-V", "-m", "joined.sqlite", "-p", "plain.pub")

    def signed_there_checked_here(self):
        self.run("minisign", "-S", "-s", "plain.key", "-m", "merrow.sqlite", "-t", "the first edition")
        self.verify("--key", "plain.pub", says="(the first edition)")
        line = (self.work / "plain.pub").read_text(encoding="utf-8").splitlines()[1]
        self.verify("--key", line, says="OK:")
        shutil.move(self.work / "merrow.sqlite.minisig", self.work / "elsewhere")
        self.verify("--key", line, "--signature", "elsewhere", says="OK:")
        shutil.move(self.work / "elsewhere", self.work / "merrow.sqlite.minisig")

    def what_is_not_signed_is_rejected(self):
        self.verify("--key", "locked.pub", status=EXIT_BAD_DATABASE, says="was made with the key")
        other = self.work / "other.toml"
        text = self.recipe.read_text(encoding="utf-8")
        for name in self.recipe.parent.iterdir():
            if name.is_file() and name.suffix not in (".toml", ".sh", ".md"):
                shutil.copy(name, self.work)
        other.write_text(text.replace('title = "', 'title = "Not ', 1), encoding="utf-8")
        self.run(self.builder, "build", other, "-o", "merrow.sqlite", "--overwrite")
        self.verify(says="OK:")
        self.verify("--key", "plain.pub", status=EXIT_BAD_DATABASE, says="is not the file that was signed")
        (self.work / "merrow.sqlite.minisig").unlink()
        self.verify("--key", "plain.pub", status=EXIT_IO, says="merrow.sqlite.minisig")

    def wrong_keys_cost_nothing(self):
        before = (self.work / "merrow.sqlite").read_bytes()
        for options, status, says in (
                (["--sign-key", "locked.key"], EXIT_BAD_INPUT, "--sign-password"),
                (["--sign-key", "locked.key", "--sign-password", "wrong"], EXIT_BAD_INPUT, "is not the one"),
                (["--sign-key", "plain.pub"], EXIT_BAD_INPUT, "is not a secret key"),
                (["--sign-password", "password"], EXIT_USAGE, "needs --sign-key")):
            self.build(*options, status=status, says=says)
        if (self.work / "merrow.sqlite").read_bytes() != before:
            raise SystemExit("a rejected key has changed the database")

    def published_and_signed(self):
        publish = [self.builder, "publish", "merrow.sqlite", "-o", "site", "--sign-key", "plain.key"]
        self.run(*publish)
        self.run("minisign", "-V", "-m", "site/SHA256SUMS", "-p", "plain.pub")
        database = next((self.work / "site/downloads").glob("*.sqlite"))
        self.run("minisign", "-V", "-m", database, "-p", "plain.pub")
        line = (self.work / "plain.pub").read_text(encoding="utf-8").splitlines()[1]
        for page in ("report.html", next((self.work / "site").glob("baseline-*.json")).name):
            if line not in (self.work / "site" / page).read_text(encoding="utf-8"):
                raise SystemExit(f"{page} does not name the key")
        self.run(*publish, "--overwrite")


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    for name in ("builder", "lookup", "recipe"):
        parser.add_argument("--" + name, type=Path, required=True)
    options = parser.parse_args()
    if not shutil.which("minisign"):
        print("skipped: minisign is not installed")
        return 77
    with tempfile.TemporaryDirectory() as work:
        check = Check(options.builder.resolve(), options.lookup.resolve(), options.recipe.resolve(), Path(work))
        check.keys()
        check.signed_here_checked_there()
        check.signed_there_checked_here()
        check.wrong_keys_cost_nothing()
        check.published_and_signed()
        check.what_is_not_signed_is_rejected()
    print("signatures: made and checked on both sides")
    return 0


if __name__ == "__main__":
    sys.exit(main())
