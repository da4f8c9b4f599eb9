"""The Debian package: made by cpack, it holds the program, the manual and the examples, and names what it links.

usage: test_package.py BUILD CPACK
"""

import os
import shutil
import subprocess
import sys
import tempfile

BUILD, CPACK = sys.argv[1:3]


def text(*arguments):
    done = subprocess.run(arguments, capture_output=True, text=True)
    assert done.returncode == 0, f"{arguments}: {done.stdout}{done.stderr}"
    return done.stdout


def main():
    if not shutil.which("dpkg-shlibdeps") or not shutil.which("file"):
        print("skipped: dpkg-shlibdeps (package dpkg-dev) or file is not here")
        sys.exit(77)
    with tempfile.TemporaryDirectory() as folder:
        text(CPACK, "-G", "DEB", "-B", folder, "--config", os.path.join(BUILD, "CPackConfig.cmake"))
        packages = [name for name in os.listdir(folder) if name.endswith(".deb")]
        assert len(packages) == 1, packages
        package = os.path.join(folder, packages[0])
        held = text("dpkg-deb", "--contents", package)
        for path in ("./usr/bin/stanch", "./usr/share/man/man1/stanch.1.gz", "./usr/share/doc/stanch/copyright",
                     "./usr/share/doc/stanch/examples/pump-house.json", "./usr/share/doc/stanch/docs/"):
            assert path in held, f"{path} is not in the package:\n{held}"
        depends = text("dpkg-deb", "--field", package, "Depends")
        for name in ("libsqlite3-0", "libgeos-c1v5", "libglpk40", "libcairo2", "libc6", "fonts-dejavu-core"):
            assert name in depends, f"{name} is not among the dependencies: {depends}"
        subprocess.run(["dpkg-deb", "--extract", package, folder], check=True)
        version = text(os.path.join(folder, "usr/bin/stanch"), "--version")
        assert version.startswith("stanch "), version


main()
