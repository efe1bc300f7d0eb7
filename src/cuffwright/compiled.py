"""Where the compiled kernels are kept on disk, and whether they are warm.

The folder is named by a digest of every kernel source and of the processor, so that an edited kernel, or one
called from another file, is never answered by a stale machine code.
"""

import hashlib
import os
import platform
from importlib.resources import files
from pathlib import Path

MARK = "warm"


def kernel_folder() -> Path:
    """The cache folder of exactly these kernels on this processor."""
    digest = hashlib.sha256(_processor().encode())
    for source in sorted((files("cuffwright.mechanics") / "kernels").iterdir(), key=lambda f: f.name):
        if source.name.endswith(".py"):
            digest.update(source.read_bytes())
    base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    return base / "cuffwright" / "kernels" / digest.hexdigest()[:16]


def point_compiler_here() -> None:
    """Tell the compiler where to keep its code and to use one thread; call before the first kernel is imported."""
    os.environ.setdefault("NUMBA_CACHE_DIR", str(kernel_folder()))
    for name in ("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


def is_warm() -> bool:
    """Whether a whole answer has been compiled into the folder before."""
    return (Path(os.environ.get("NUMBA_CACHE_DIR") or kernel_folder()) / MARK).exists()


def mark_warm() -> None:
    """Record that a whole answer has been compiled."""
    folder = Path(os.environ.get("NUMBA_CACHE_DIR") or kernel_folder())
    folder.mkdir(parents=True, exist_ok=True)
    (folder / MARK).touch()


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text("utf-8", "replace").splitlines()
    except OSError:
        lines = []
    named = sorted({line for line in lines if line.startswith(("model name", "flags"))})
    return "|".join([platform.machine(), platform.processor(), platform.python_version(), *named])
