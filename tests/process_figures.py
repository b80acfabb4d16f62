"""What the system tells of a process: proc(5), whose field 3 is the state, 14 and 15 user and system time."""

import os
from pathlib import Path


def cpu_seconds(process: int) -> float:
    """Return the processor time that a process has used."""
    fields = _after_name(process)
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def is_over(process: int) -> bool:
    """Return whether a process has ended, reaped by whoever started it or not."""
    try:
        return _after_name(process)[0] == "Z"
    except FileNotFoundError:
        return True


def _after_name(process: int) -> list[str]:
    """Return the fields from the third on; the name before them may hold blanks."""
    return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
