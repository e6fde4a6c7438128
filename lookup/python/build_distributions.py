"""Makes the wheel and the source distribution, without a network.

    build_distributions.py SOURCE PYPROJECT LICENSE OUTPUT

SOURCE is this folder. OUTPUT receives thirstline-*.whl, thirstline-*.tar.gz and, in `unpacked`, what the wheel
holds. The same sources give the same wheel.
"""

import contextlib
import os
import shutil
import sys
import zipfile
from pathlib import Path


def main():
    source, pyproject, licence, output = map(Path, sys.argv[1:])
    os.environ.setdefault("SOURCE_DATE_EPOCH", "315532800")  # the earliest time that a zip file can hold
    from setuptools import build_meta
    shutil.rmtree(output, ignore_errors=True)
    staged = output / "staged"
    shutil.copytree(source / "source", staged / "source", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(source / "README.md", staged)
    shutil.copy(pyproject, staged / "pyproject.toml")
    shutil.copy(licence, staged)
    output = output.resolve()
    os.chdir(staged)
    # Permissions are part of a wheel.
    for path in Path().rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    with open(output / "build.log", "w", encoding="utf-8") as log, contextlib.redirect_stdout(log), \
            contextlib.redirect_stderr(log):
        build_meta.build_sdist(str(output))
        wheel = build_meta.build_wheel(str(output))
    with zipfile.ZipFile(output / wheel) as archive:
        archive.extractall(output / "unpacked")


if __name__ == "__main__":
    main()
