"""Ask the planner in a process of its own: whatever it does, the round at the table goes on."""

from collections.abc import Callable
from multiprocessing import get_context
from multiprocessing.connection import Connection

from cavyround.engines.housing import House, Impossible, NotFound, Proposal, propose

Answer = Proposal | Impossible | NotFound
Work = Callable[[House, float], Answer]
# Far longer than the work allowed takes on a slow machine.
LONGEST_S = 90
BROKEN = NotFound(
    words="The planner broke off, and nothing else did: all that was entered is kept. Ask again; "
    "if it breaks off again, plan fewer animals, or move them one by one by hand."
)
TOO_LONG = NotFound(
    words=f"No plan was found within {LONGEST_S} seconds. Move the most pressing ones by hand and "
    "ask again."
)


def _propose(house: House, effort: float) -> Answer:
    return propose(house, effort=effort)


def propose_apart(house: House, *, effort: float, work: Work = _propose) -> Answer:
    """What ``propose`` answers; ``NotFound`` where its process died or took too long.

    The solver is native code: where it aborts it takes its process with it, and that must
    never be the one which the phones at the table are talking to.
    """
    around = get_context("spawn")
    here, there = around.Pipe(duplex=False)
    child = around.Process(target=_answer, args=(there, house, effort, work), daemon=True)
    child.start()
    there.close()
    try:
        if not here.poll(LONGEST_S):
            return TOO_LONG
        answer: Answer = here.recv()
    except EOFError:
        return BROKEN
    finally:
        child.kill()
        child.join()
        here.close()
    return answer


def _answer(there: Connection, house: House, effort: float, work: Work) -> None:
    there.send(work(house, effort))
