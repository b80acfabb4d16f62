"""A worker of its own that counts: `python counting_process.py DATA QUOTA HOW`.

It says `ready`, waits for a line, and then does as told: `count N` counts N requests and prints how many were
taken; `die` is killed by itself in the middle of counting, with the lock of the file held.
"""

import os
import signal
import sys
from pathlib import Path

from api.access.count_requests import RequestCounts
from api.access.rate_limits import Policy
from api.access.shared_counts import MAP_BYTES, counts_folder
from api.access.shared_file import shared_file


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main(data: str, quota: str, how: str, times: str = "0") -> None:
    counts = RequestCounts(Path(data))
    policy = Policy("default", int(quota), 600)
    counts.peek(policy, "somebody")
    say("ready")
    sys.stdin.readline()
    if how == "count":
        say(str(sum(counts.count(policy, "somebody").allowed for _ in range(int(times)))))
    else:

        def be_killed(file):  # type: ignore[no-untyped-def]  # a process of its own, nothing calls it
            with file.begin(write=True) as writes:
                writes.put(b"half", b"done")
                os.kill(os.getpid(), signal.SIGKILL)

        shared_file(counts_folder(Path(data)), MAP_BYTES).use(be_killed)


main(*sys.argv[1:])
