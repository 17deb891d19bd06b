"""A brake on guessing: who fails often for one name from one place waits, longer each time.

Kept in the process: a restart forgets it. Only that name from that address waits; nobody else.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Lock
from time import monotonic

# A carer with cold fingers mistypes a few times; a program that guesses tries thousands of times.
# At the longest wait it gets some 300 tries in a day. Our own judgement.
FREE_TRIES = 5
FIRST_WAIT_S = 5
LONGEST_WAIT_S = 300
LONGEST_AFTER = 10
COUNTED_IN_SECONDS = 90
FORGOTTEN_AFTER_S = 3600
MOST_REMEMBERED = 10_000


@dataclass(frozen=True, slots=True)
class Tries:
    """How often it failed in a row, when last, and from when the next try counts."""

    failed: int
    last: float
    again_at: float


@dataclass(slots=True)
class Brake:
    """The failures in a row by name and address."""

    clock: Callable[[], float] = monotonic
    tries: dict[tuple[str, str], Tries] = field(default_factory=dict)
    lock: Lock = field(default_factory=Lock)

    def wait_s(self, name: str, address: str) -> int:
        """How many seconds until the next try counts; 0 where it counts now."""
        known = self._known(name, address)
        return max(0, -int(-(known.again_at - self.clock()) // 1)) if known else 0

    def failures(self, name: str, address: str) -> int:
        """How often it failed in a row."""
        known = self._known(name, address)
        return known.failed if known else 0

    def failed(self, name: str, address: str) -> int:
        """Note a failure; gives how many there were in a row."""
        with self.lock:
            self._forget_old()
            before = self._known(name, address)
            failed = before.failed + 1 if before else 1
            now = self.clock()
            again_at = now + _wait_after(failed)
            self.tries[_key(name, address)] = Tries(failed, now, again_at)
        return failed

    def passed(self, name: str, address: str) -> None:
        """It fitted: what failed before is forgotten."""
        self.tries.pop(_key(name, address), None)

    def clear(self) -> None:
        """Forget everything."""
        self.tries.clear()

    def _known(self, name: str, address: str) -> Tries | None:
        known = self.tries.get(_key(name, address))
        return known if known and self.clock() - known.last < FORGOTTEN_AFTER_S else None

    def _forget_old(self) -> None:
        if len(self.tries) < MOST_REMEMBERED:
            return
        now = self.clock()
        for key, known in list(self.tries.items()):
            if now - known.last >= FORGOTTEN_AFTER_S:
                del self.tries[key]
        while len(self.tries) >= MOST_REMEMBERED:
            del self.tries[next(iter(self.tries))]


def _key(name: str, address: str) -> tuple[str, str]:
    return name.casefold()[:150], address


def _wait_after(failed: int) -> int:
    """Seconds to wait after so many failures in a row: none, then each twice the one before."""
    over = failed - FREE_TRIES
    if over < 0:
        return 0
    return LONGEST_WAIT_S if over > LONGEST_AFTER else min(FIRST_WAIT_S * 2**over, LONGEST_WAIT_S)


def in_words(seconds: int) -> str:
    """A wait as a person counts it."""
    if seconds < COUNTED_IN_SECONDS:
        return f"{seconds} second{'' if seconds == 1 else 's'}"
    return f"{round(seconds / 60)} minutes"


BRAKE = Brake()
