"""Time a call many times, and say what was usual and what was slow."""

import gc
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import quantiles


@dataclass(frozen=True, slots=True)
class Times:
    """Milliseconds: half of the calls took no longer than ``p50``, 95 of 100 than ``p95``."""

    p50: float
    p95: float

    @staticmethod
    def of(milliseconds: Sequence[float]) -> "Times":
        """From single measurements."""
        cuts = quantiles(milliseconds, n=20, method="inclusive")
        return Times(p50=cuts[9], p95=cuts[18])


def timed(call: Callable[[], object], *, times: int, warm: int = 3) -> Times:
    """Call it a few times unmeasured, then ``times`` times measured."""
    for _ in range(warm):
        call()
    gc.collect()
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        call()
        taken.append((time.perf_counter() - began) * 1000)
    return Times.of(taken)


def once(call: Callable[[], object]) -> float:
    """Seconds of one call."""
    gc.collect()
    began = time.perf_counter()
    call()
    return time.perf_counter() - began


def processor_seconds(call: Callable[[], object]) -> float:
    """Seconds of one core that one call takes, whatever else the machine does."""
    gc.collect()
    began = time.process_time()
    call()
    return time.process_time() - began
