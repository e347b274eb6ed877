"""How much memory a process holds."""

from __future__ import annotations

from pathlib import Path


def rss_mb(pid: int) -> float:
    """Return the resident memory of a process, MB (10^6 bytes); 0 where the system does not say."""
    try:
        lines = Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines()
    except OSError:
        return 0.0
    found = [line.split()[1] for line in lines if line.startswith("VmRSS:")]
    return int(found[0]) * 1024 / 1e6 if found else 0.0
