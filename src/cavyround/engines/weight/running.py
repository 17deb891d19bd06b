"""Run the bank over all weighings of a herd, each known only from what came before."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from cavyround.engines.weight import bank as banks
from cavyround.engines.weight import growth, slips
from cavyround.engines.weight.bank import Bank, Foretold
from cavyround.engines.weight.columns import Columns
from cavyround.engines.weight.numbers import Flags, Floats, Numbers

# A weighing this many standard deviations off is looked at for slips.
LOOKED_AT = 1.5
# Noise is learned from weighings that are surely no slips and no further off than this.
NOISE_SOUND, NOISE_OFF = 0.8, 9.0
# An animal as heavy as its full weight is grown once that is known to within this (a logarithm).
SURE_OF_FULL = 0.08
MOSTLY = 0.5
# Most of a dip after an event comes within so many days. Our own judgement.
DIPS_WITHIN_DAYS = 4.0


@dataclass(frozen=True, slots=True)
class Known:
    """All that is carried from one weighing of each animal to the next.

    ``full`` and ``full_var`` are the logarithm of the full weight it grows to and its
    variance; ``grown`` whether it has grown up; ``noise`` the variance of one weighing
    and ``noise_from`` how many it was learned from; ``day`` the last weighing;
    ``per_day`` the growth expected now, a natural logarithm a day; ``odd`` the logarithm
    of the last weighing where that was doubted, else ``nan``.
    """

    bank: Bank
    full: Floats
    full_var: Floats
    grown: Flags
    noise: Floats
    noise_from: Floats
    day: Floats
    started: Flags
    per_day: Floats
    count: Floats
    odd: Floats


@dataclass(frozen=True, slots=True)
class Step:
    """One row of weighings: what was foretold of it, and what is believed after it.

    ``slipped`` is the probability that each was a slip, ``off`` how many standard
    deviations it lay from what was foretold.
    """

    there: Flags
    foretold: Foretold
    foretold_bank: Bank
    noise: Floats
    slipped: Floats
    known: Known
    off: Floats


def beginning(columns: Columns, numbers: Numbers) -> Known:
    """What is believed before any weighing."""
    _, animals = columns.shape
    full = np.log(
        np.select(
            [columns.sex > 0, columns.sex < 0],
            [numbers["full_weight_boar_g"], numbers["full_weight_sow_g"]],
            numbers["full_weight_unknown_g"],
        )
    )
    mean = np.full(animals, np.log(numbers["first_weight_g"]))
    return Known(
        bank=banks.begun(numbers, mean, np.full(animals, numbers["first_weight_spread"] ** 2)),
        full=full,
        full_var=np.full(animals, numbers["full_weight_spread"] ** 2),
        grown=np.zeros(animals, dtype=bool),
        noise=np.full(animals, numbers.share("noise_pct") ** 2),
        noise_from=np.full(animals, numbers["noise_counts_for"]),
        day=np.full(animals, np.nan),
        started=np.zeros(animals, dtype=bool),
        per_day=np.zeros(animals),
        count=np.zeros(animals),
        odd=np.full(animals, np.nan),
    )


def ran(columns: Columns, numbers: Numbers) -> Iterator[Step]:
    """Every row of weighings in turn. Whoever needs only the last keeps only the last."""
    known = beginning(columns, numbers)
    for row in range(columns.shape[0]):
        with np.errstate(invalid="ignore"):  # nan stands for no weighing, and is never chosen
            step = _step(known, columns, numbers, row)
        yield step
        known = step.known


def _step(known: Known, columns: Columns, numbers: Numbers, row: int) -> Step:
    there = np.isfinite(columns.grams[row])
    first = there & ~known.started
    before = newly_met(known, columns, numbers, columns.day[row], first)
    days = np.where(there & known.started, np.nan_to_num(columns.day[row] - known.day), 0.0)
    # Two readings of one minute may be sent in either order.
    days = np.maximum(days, 0.0)
    moved, rise, teaches = _moved(before, columns, numbers, row, days)
    expected = banks.foretold(moved, before.noise)
    log_grams = np.log(np.where(there, columns.grams[row], 1.0))
    off = (log_grams - expected.mean) / expected.spread
    slip = _slip(columns, numbers, row, expected, off, there)
    jump = (1 - columns.trust[row]) * slip + _as_odd_again(before, numbers, days, log_grams)
    slip = np.where(first & _may_be_any(columns, numbers, row), 0.0, columns.trust[row] * slip)
    after, said = banks.observed(moved, log_grams, before.noise, slip, jump)
    out = there & columns.left_out[row]  # two doubts confirm nothing: a tub stays on the scale
    counted = there & ~out
    slipped = np.where(out, 1.0, said.slipped)
    after = banks.begun_anew(after).where(columns.bore[row], after)
    bank = after.where(counted, moved.where(there, before.bank))
    seen = _Seen(counted, first & counted, days, rise, teaches, log_grams, said.sound, said.share)
    learned = _growing_up(_learned(before, bank, moved, numbers, seen), columns, numbers, row, seen)
    known = replace(
        learned,
        day=np.where(there, columns.day[row], before.day),
        started=before.started | there,
        count=before.count + counted,
        odd=np.select([~there, slipped > numbers["doubt_from"]], [before.odd, log_grams], np.nan),
    )
    nowhere = np.full(there.shape, np.nan)
    return Step(
        there=there,
        foretold=expected,
        foretold_bank=moved,
        noise=before.noise,
        slipped=np.where(there, slipped, nowhere),
        known=known,
        off=np.where(there, off, nowhere),
    )


@dataclass(frozen=True, slots=True)
class _Seen:
    """One row of weighings as it teaches; ``sound`` is the probability that it is on a course."""

    counted: Flags
    first: Flags
    days: Floats
    rise: Floats
    teaches: Floats
    log_grams: Floats
    sound: Floats
    share: Floats


def newly_met(known: Known, columns: Columns, numbers: Numbers, at: Floats, first: Flags) -> Known:
    """What is believed of an animal never weighed, on the days ``at``: from age and sex."""
    if not first.any():
        return known
    aged, share = _by_age(columns, numbers, at)
    apart = numbers["growth_age_spread"] * (1 - share)
    mean = np.where(aged, known.full + np.log(share), np.log(numbers["first_weight_g"]))
    variance = np.where(
        aged,
        numbers["full_weight_spread"] ** 2 + apart**2,
        numbers["first_weight_spread"] ** 2,
    )
    return replace(known, bank=banks.begun(numbers, mean, variance).where(first, known.bank))


def _by_age(columns: Columns, numbers: Numbers, at: Floats) -> tuple[Flags, Floats]:
    """Whether an age is known, and the share of its full weight it should then have."""
    aged = np.isfinite(columns.born)
    age = np.where(aged, at - columns.born, numbers["grown_from_days"])
    age = np.maximum(np.nan_to_num(age, nan=numbers["grown_from_days"]), 0.0)
    return aged, growth.share_grown(age, numbers["growth_per_day"], numbers["growth_birth_ratio"])


def _moved(
    known: Known, columns: Columns, numbers: Numbers, row: int, days: Floats
) -> tuple[Bank, Floats, Floats]:
    """The bank at the time of a weighing, the rise that was expected, and what it would teach."""
    pregnant = columns.pregnant[row]
    unrest = np.where(pregnant, numbers["pregnancy_leaves_factor"], 1.0)
    mixed = banks.mixed(known.bank, numbers, days, unrest)
    rise, teaches = growth.gain(mixed.reached, known.full, numbers["growth_per_day"], days)
    grown = known.grown | pregnant
    rise = np.where(grown, 0.0, rise)
    teaches = np.where(grown, 0.0, teaches)
    carried = np.where(pregnant, numbers.share("pregnancy_gain_pct_day") * days, 0.0)
    mass = (mixed.reached, known.full)
    shaken = _shaken(columns, numbers, row, days)
    shaken = shaken + growth.unsure(mass, known.full_var, rise, teaches, numbers)
    moved = banks.moved(mixed, numbers, days, rise + carried, shaken)
    return moved, rise, teaches


def _shaken(columns: Columns, numbers: Numbers, row: int, days: Floats) -> Floats:
    """The variance that known events add: arrival, what stirs, and birth."""
    began = days > 0
    birth = columns.since_birth[row]
    settling = (birth > 0) & (birth <= numbers["birth_settles_days"])
    return (
        _dipped(columns.since_arrival[row], days, numbers, "arrival")
        + _dipped(columns.since_stir[row], days, numbers, "stirred")
        + np.where(settling, numbers.share("birth_settles_pct_week") ** 2 * days / 7, 0.0)
        + np.where(columns.bore[row] & began, numbers.share("birth_drop_pct") ** 2, 0.0)
    )


def _dipped(since: Floats, days: Floats, numbers: Numbers, event: str) -> Floats:
    """The variance an event adds between two weighings.

    All of it together never comes to more than one dip, however often the animal is
    weighed: else weighing daily would excuse any fall.
    """
    before = np.maximum(since - days, 0.0)
    added = np.exp(-before / DIPS_WITHIN_DAYS) - np.exp(-since / DIPS_WITHIN_DAYS)
    pct = "arrival_dip_pct" if event == "arrival" else "stirred_pct"
    soon = since <= numbers[f"{event}_days"]
    return np.where(soon & (days > 0), numbers.share(pct) ** 2 * added, 0.0)


def _slip(
    columns: Columns, numbers: Numbers, row: int, expected: Foretold, off: Floats, there: Flags
) -> Floats:
    slip = np.full(there.shape, numbers["slip_share"] / numbers["slip_span"])
    far = np.flatnonzero(there & (np.abs(off) > LOOKED_AT))
    if far.size:
        slip[far] = slips.density(
            columns.grams[row, far], expected.mean[far], expected.spread[far], numbers
        )
    return slip


def _may_be_any(columns: Columns, numbers: Numbers, row: int) -> Flags:
    """Whether nothing speaks against a first weight: of unknown age, and a pup or a giant's."""
    grams = columns.grams[row]
    usual = (grams >= numbers["stranger_least_g"]) & (grams <= numbers["stranger_most_g"])
    nothing_known: Flags = usual & ~np.isfinite(columns.born)
    return nothing_known


def _as_odd_again(known: Known, numbers: Numbers, days: Floats, log_grams: Floats) -> Floats:
    """How likely a weighing is if the doubted one before it was right after all."""
    variance = 2 * known.noise + numbers.share("wander_pct") ** 2 * days
    away = np.nan_to_num(log_grams - known.odd, nan=np.inf)
    found: Floats = np.exp(-0.5 * away**2 / variance) / np.sqrt(2 * np.pi * variance)
    return numbers["odd_right_share"] * found


def _learned(known: Known, bank: Bank, moved: Bank, numbers: Numbers, seen: _Seen) -> Known:
    """What a row of weighings teaches of noise, full weight and being grown."""
    full, full_var = _full_weight(known, moved, seen)
    level = bank.mean
    steady = bank.weight[0]
    full = np.where(seen.counted & ~known.grown & (level > full) & (steady > MOSTLY), level, full)
    noise, noise_from = _noise(known, moved, numbers, seen)
    days = np.maximum(seen.days, 1.0)
    per_day = np.where(seen.counted & (seen.days > 0), seen.rise / days, known.per_day)
    return replace(
        known,
        bank=bank,
        full=full,
        full_var=full_var,
        noise=noise,
        noise_from=noise_from,
        per_day=per_day,
    )


def _full_weight(known: Known, moved: Bank, seen: _Seen) -> tuple[Floats, Floats]:
    """The full weight an animal grows to, as its growth so far tells it."""
    off = seen.log_grams - moved.level[0]
    variance = seen.teaches**2 * known.full_var + moved.vll[0] + known.noise
    believed = np.where(
        seen.counted & ~seen.first, (seen.share[0] + seen.share[-1]) * seen.sound, 0.0
    )
    gain = believed * known.full_var * seen.teaches / variance
    return known.full + gain * off, known.full_var * (1 - gain * seen.teaches)


def _noise(known: Known, moved: Bank, numbers: Numbers, seen: _Seen) -> tuple[Floats, Floats]:
    variance = moved.vll[0] + known.noise
    off = (seen.log_grams - moved.level[0]) ** 2 / variance
    sound = seen.counted & ~seen.first & (seen.sound > NOISE_SOUND) & (off < NOISE_OFF)
    counts = 0.5 * seen.share[0] * seen.sound
    noise = np.where(
        sound,
        known.noise * (known.noise_from + counts * off) / (known.noise_from + counts),
        known.noise,
    )
    least, most = numbers.share("noise_least_pct") ** 2, numbers.share("noise_most_pct") ** 2
    learned = np.minimum(known.noise_from + counts, numbers["noise_remembers"])
    return np.clip(noise, least, most), np.where(sound, learned, known.noise_from)


def _growing_up(known: Known, columns: Columns, numbers: Numbers, row: int, seen: _Seen) -> Known:
    """Full weight after a first weighing, and whether an animal has grown up.

    One of unknown age that has the weight of a grown animal is not expected to grow
    until it does.
    """
    level = known.bank.mean
    aged, share = _by_age(columns, numbers, columns.day[row])
    apart = (numbers["growth_age_spread"] * (1 - share)) ** 2 + known.noise
    gain = known.full_var / (known.full_var + apart)
    of_age = known.full + gain * (level - np.log(share) - known.full)
    heavy = ~aged & (level > np.log(numbers["grown_from_g"]))
    full = np.select([seen.first & aged, seen.first & heavy], [of_age, level], known.full)
    full_var = np.select(
        [seen.first & aged, seen.first & heavy],
        [known.full_var * (1 - gain), np.full(level.shape, numbers["grown_full_spread"] ** 2)],
        known.full_var,
    )
    near = numbers.share("grown_within_pct")
    settled = ~seen.first & (level > full - near) & (full_var < SURE_OF_FULL**2)
    old = aged & (
        columns.day[row] - columns.born - columns.born_spread >= numbers["grown_from_days"]
    )
    mother = columns.pregnant[row] | columns.bore[row]
    grown = known.grown | (seen.counted & (settled | old | mother))
    return replace(known, full=full, full_var=full_var, grown=grown)
