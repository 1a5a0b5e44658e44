"""What an old unit probably is: full load, rating from what is seen, litres and mass, shares of a fill."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal

from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

ROOT_3 = Decimal(3).sqrt()
"""Power of three phases over line current and the voltage between lines. Source: definition."""
VOLTS_IN_KV = Decimal(1000)
"""Volts in a kilovolt. Source: definition."""
ONE_PHASE, THREE_PHASES = 1, 3
"""What the box of phases may hold. Source: definition."""


def full_load_amps(kva: Decimal, kv: Decimal, phases: int) -> Decimal:
    """Current in A at full load, from kVA and kV; three phases: in each line."""
    return kva / (kv * _factor(phases))


def _factor(phases: int) -> Decimal:
    return ROOT_3 if phases == THREE_PHASES else Decimal(1)


def _phases(given: Given) -> int:
    phases: int = given["phases"]
    if phases not in (ONE_PHASE, THREE_PHASES):
        raise CannotWork("phases", "phases_one_or_three")
    return phases


def full_load(given: Given, fixed: Fixed) -> Worked:
    """Current at full load, or the way back: `kva` or `amps`, with `kv` and `phases` (1 or 3)."""
    phases = _phases(given)
    kva, amps = given["kva"], given["amps"]
    if (kva is None) == (amps is None):
        raise CannotWork("kva" if kva is None else "amps", "kva_or_amps")
    if kva is None:
        kva = amps * given["kv"] * _factor(phases)
    else:
        amps = full_load_amps(kva, given["kv"], phases)
    return Worked({"kva": kva, "amps": amps, "fuse_usual": amps * fixed.number("fuse_target")})


def ratings_of(origin: str, phases: int, fixed: Fixed) -> tuple[Decimal, ...]:
    """The ratings in kVA, least first, in which units of an origin were built; unknown: those of every origin."""
    american, other = ("us_single", "us_three") if phases == ONE_PHASE else ("us_three", "us_single")
    if origin == other:
        raise CannotWork("origin", "origin_phases")
    wanted = ("metric", "old_british", american) if origin == "unknown" else (origin,)
    return tuple(sorted({one for name in wanted for one in fixed.series(f"ratings_{name}")}))


def by_fuse(amps: Decimal, kv: Decimal, phases: int, ratings: Sequence[Decimal], fixed: Fixed) -> list[Decimal]:
    """The ratings in kVA for which a fuse is neither too small nor too big, the likeliest first.

    Of two that are equally likely the greater one: it holds more oil.
    """
    ratios = {kva: amps / full_load_amps(kva, kv, phases) for kva in ratings}
    least, target, most = (fixed.number(name) for name in ("fuse_least", "fuse_target", "fuse_most"))
    fit = [kva for kva, ratio in ratios.items() if least <= ratio <= most]
    return sorted(fit, key=lambda kva: (abs((ratios[kva] / target).ln()), -kva))


def rating(given: Given, fixed: Fixed) -> Worked:
    """The likely rating in kVA from what is seen: a fuse in A with `kv`, the rated current of a terminal, or both.

    Every clue is shown as it stands; what they say together is left out where they contradict each other.
    """
    phases = _phases(given)
    if given["fuse_a"] is None and given["lv_a"] is None:
        raise CannotWork("fuse_a", "no_clue")
    ratings = given["own_ratings"] or ratings_of(given["origin"], phases, fixed)
    values: dict[str, Value] = {"weight": "low"}
    notes: list[Note] = []
    fit: list[Decimal] | None = None
    bound = _bound(given, phases, fixed)
    if given["fuse_a"] is not None:
        fit = _fuse_clue(given, phases, ratings, fixed, values, notes)
    if bound is not None:
        values["bound"] = bound
        notes.append(
            Note(
                "terminal_says", {"amps": figure_words(given["lv_a"]), "kva": figure_words(bound.quantize(Decimal(1)))}
            )
        )
    told = "own" if given["own_ratings"] else given["origin"]
    notes.append(Note(f"ratings_{told}", {"ratings": " ".join(figure_words(one) for one in sorted(ratings))}))
    if fit is None:
        notes.append(Note("bound_alone"))
        return Worked(values, tuple(notes))
    left = [kva for kva in fit if bound is None or kva <= bound]
    if bound is not None and fit:
        values["agree"] = bool(left)
    if not left:
        notes.append(Note("clues_contradict" if fit else "no_candidate"))
        return Worked(values, tuple(notes))
    likely = left[0]
    values |= {"likely": likely, "plausible": tuple(sorted(left)), "ranked": tuple(left)}
    values["ratio"] = given["fuse_a"] / full_load_amps(likely, given["kv"], phases)
    if bound is not None and given["fuse_seen"] != "told":
        values["weight"] = "some"
    return Worked(values, tuple(notes))


def _bound(given: Given, phases: int, fixed: Fixed) -> Decimal | None:
    """The rating in kVA above which a low voltage terminal would carry more than its rated current."""
    if given["lv_a"] is None:
        return None
    volts = given["lv_v"]
    if volts is None:
        if phases == ONE_PHASE:
            raise CannotWork("lv_v", "lv_missing")
        volts = fixed.number("lv_three_phases")
    found: Decimal = _factor(phases) * volts / VOLTS_IN_KV * given["lv_a"]
    return found


def _fuse_clue(
    given: Given, phases: int, ratings: Sequence[Decimal], fixed: Fixed, values: dict[str, Value], notes: list[Note]
) -> list[Decimal]:
    """What a fuse alone says: written into values and notes; returns the ratings that fit, the likeliest first."""
    amps, kv = given["fuse_a"], given["kv"]
    if kv is None:
        raise CannotWork("kv", "kv_missing")
    fit = by_fuse(amps, kv, phases, ratings, fixed)
    values["implied"] = amps / fixed.number("fuse_target") * kv * _factor(phases)
    if fit:
        values["by_fuse"] = tuple(sorted(fit))
    names = ("fuse_least", "fuse_target", "fuse_most")
    rule = {name.removeprefix("fuse_"): figure_words(fixed.number(name)) for name in names}
    notes += [Note("fuse_says", {"amps": figure_words(amps), **rule}), Note("fuse_not_its_own")]
    notes.append(Note(f"seen_{given['fuse_seen']}"))
    if phases == ONE_PHASE:
        notes.append(Note("one_phase_voltage"))
    if amps not in fixed.series("cartridge_sizes"):
        notes.append(Note("no_cartridge_size", {"amps": figure_words(amps)}))
    return fit


def oil_volume(kva: Decimal, fixed: Fixed) -> Decimal:
    """Litres of fluid that a unit of this rating probably holds: one curve for all, from memory."""
    return fixed.number("oil_litres_at") * (kva / fixed.number("oil_kva_at")) ** fixed.number("oil_exponent")


def _gross(litres: Decimal, share: Decimal, density: Decimal, fixed: Fixed) -> Decimal:
    """Mass in kg of a unit with its fluid: what is dry follows from the share that mineral oil would have."""
    oil = litres * fixed.number("oil_density")
    return oil * (1 - share) / share + litres * density


def oil_litres(given: Given, fixed: Fixed) -> Worked:
    """Litres, gross mass and drums of a unit of `kva`, each with its band; `fluid` oil, askarel or unknown.

    `usable_l`: litres that go into a drum. `drum_empty_kg` and `drum_marked_kg`: the drum, and the gross mass on its
    mark. Unknown fluid: the middle is that of oil, the upper figures those of askarel.
    """
    litres, fluid = oil_volume(given["kva"], fixed), given["fluid"]
    low, high = litres * fixed.number("oil_band_low"), litres * fixed.number("oil_band_high")
    usable = fixed.number("drum_usable") if given["usable_l"] is None else given["usable_l"]
    central = fixed.number("askarel_density" if fluid == "askarel" else "oil_density")
    heaviest = fixed.number("oil_density_high" if fluid == "oil" else "askarel_density_high")
    full, heavy = usable * central, usable * heaviest
    values: dict[str, Value] = {
        "litres": litres, "litres_low": low, "litres_high": high,
        "gross_kg": _gross(litres, fixed.number("oil_share"), central, fixed),
        "gross_low": _gross(low, fixed.number("oil_share_high"), central, fixed),
        "gross_high": _gross(high, fixed.number("oil_share_low"), heaviest, fixed),
        "drums": drums_for(litres, usable), "drums_high": drums_for(high, usable),
        "drum_fluid_kg": full, "drum_fluid_high": heavy,
    }  # fmt: skip
    notes = [Note(f"fluid_{fluid}")]
    if not fixed.number("oil_fit_least") <= given["kva"] <= fixed.number("oil_fit_most"):
        notes.append(
            Note("outside_fit", {end: figure_words(fixed.number(f"oil_fit_{end}")) for end in ("least", "most")})
        )
    empty, marked = given["drum_empty_kg"], given["drum_marked_kg"]
    if empty is not None:
        values["drum_gross_kg"] = heavy + empty
    if marked is not None:
        if heavy + (empty or 0) > marked:
            values["drum_within"] = False
            notes.append(Note("drum_too_heavy"))
        elif empty is not None:
            values["drum_within"] = True
        else:
            notes.append(Note("drum_empty_missing"))
    if fluid != "oil":
        notes.append(Note("drum_density_mark", {"density": figure_words(fixed.number("drum_mark_from"))}))
    return Worked(values, tuple(notes))


def drums_for(litres: Decimal, usable: Decimal) -> int:
    """Drums for so many litres, the last one perhaps not full."""
    return int((litres / usable).to_integral_value(ROUND_CEILING))


def fluid_share(given: Given, fixed: Fixed) -> Worked:
    """The share of the fluid in the gross mass, told for askarel and for mineral oil in the same tank.

    `net_kg` of the fluid and `gross_kg` of all; of an askarel fill also kg of PCB, least and most, from
    `pcb_share_low` and `pcb_share_high`.
    """
    net, gross, values = given["net_kg"], given["gross_kg"], dict[str, Value]()
    askarel, oil = fixed.number("askarel_density"), fixed.number("oil_density")
    filled_with_askarel = given["holds"] == "askarel"
    notes: list[Note] = []
    if gross is not None:
        if gross <= net:
            raise CannotWork("gross_kg", "gross_not_above_net")
        share = net / gross
        if filled_with_askarel:
            values |= {"askarel_share": share, "mineral_share": _other_fill(share, oil / askarel)}
        else:
            values |= {"askarel_share": _other_fill(share, askarel / oil), "mineral_share": share}
        low, high = fixed.number("oil_share_low"), fixed.number("oil_share_high")
        if not low <= Decimal(str(values["mineral_share"])) <= high:
            notes.append(Note("share_unusual", {"low": figure_words(low), "high": figure_words(high)}))
    elif not filled_with_askarel:
        raise CannotWork("gross_kg", "gross_missing")
    if not filled_with_askarel:
        return Worked(values, (*notes, Note("mineral_by_test")))
    least = fixed.number("pcb_share_low") if given["pcb_share_low"] is None else given["pcb_share_low"]
    most = fixed.number("pcb_share_high") if given["pcb_share_high"] is None else given["pcb_share_high"]
    if least > most:
        raise CannotWork("pcb_share_low", "pcb_shares_crossed")
    values |= {"pcb_low_kg": net * least, "pcb_high_kg": net * most}
    return Worked(values, (*notes, Note("whole_fill_counts")))


def _other_fill(share: Decimal, lighter: Decimal) -> Decimal:
    """The share that another fluid would have in the same tank; `lighter`: its density over that of this one."""
    fluid = share * lighter
    return fluid / (fluid + 1 - share)


WORK: dict[str, Work] = {
    "full_load": full_load, "rating": rating, "oil_litres": oil_litres, "fluid_share": fluid_share,
}  # fmt: skip
