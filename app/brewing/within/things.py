"""Limits to kinds of things: beans, brewers, filters, and what a question may ask about besides."""

from app.brewing.bounds import FILTER_MATERIALS
from app.brewing.sentences import Sentence
from app.brewing.within.dimension import Brews, Kinds
from app.brewing.within.words import counted, listed

STEEPS, RUNS = "the coffee steeps", "the water runs through the coffee"
FAMILIES = {"pressed immersion": STEEPS, "immersion": STEEPS, "cone": RUNS, "flat bed": RUNS}
BREWERS = {
    "pressed immersion": "pressed immersion brewer",
    "immersion": "immersion brewer",
    "cone": "cone",
    "flat bed": "flat-bed brewer",
    "other": "brewer of another kind",
}


def _beans(brews: Brews) -> Sentence:
    beans, bags = ({getattr(brew, name) for brew in brews} for name in ("bean_id", "bag_id"))
    if len(beans) == 1 < len(bags):
        return Sentence(f"of one bean from {counted(len(bags), 'bag')}")
    return Sentence(f"of {counted(len(beans), 'bean')}")


def _processes(brews: Brews) -> Sentence | None:
    """One bean has one process, which needs no word."""
    kinds = {folded(brew.process) for brew in brews}
    one_bean = len({brew.bean_id for brew in brews}) == 1
    return None if one_bean else Sentence(f"of {counted(len(kinds), 'process', 'processes')}")


def _origins(brews: Brews) -> Sentence | None:
    kinds = {folded(brew.origin) for brew in brews}
    one_bean = len({brew.bean_id for brew in brews}) == 1
    return None if one_bean else Sentence(f"from {counted(len(kinds), 'origin')}")


def _decaf(brews: Brews) -> Sentence | None:
    kinds = {brew.decaf for brew in brews}
    if kinds == {False}:
        return None
    return Sentence("decaffeinated" if kinds == {True} else "decaffeinated and not")


def _frozen(brews: Brews) -> Sentence | None:
    frozen = any(brew.frozen_days for brew in brews)
    return Sentence("days in the freezer not counted") if frozen else None


def _brewers(brews: Brews) -> Sentence:
    """Brewers of one kind are counted, two kinds are named; those that are alike count as one."""
    firsts = {brew.first_brewer_id: brew.kind for brew in brews}
    kinds = [kind for kind in BREWERS if kind in firsts.values()]
    several = len({brew.brewer_id for brew in brews})
    if len(firsts) == 1 < several:
        return Sentence(f"in {counted(several, BREWERS[kinds[0]])} that are alike")
    amounts = [list(firsts.values()).count(kind) for kind in kinds]
    if len(kinds) > 2:
        return Sentence(f"in {counted(len(firsts), 'brewer')} of {counted(len(kinds), 'kind')}")
    named = [counted(amount, BREWERS[kind]) for kind, amount in zip(kinds, amounts, strict=True)]
    return Sentence(f"in {listed(named)}")


def _filters(brews: Brews) -> Sentence:
    packs = {(one.material, one.pack_id) for brew in brews for one in brew.filters}
    said = []
    for material in FILTER_MATERIALS:
        kinds = sum(of == material for of, _ in packs)
        said += [f"{counted(kinds, 'kind')} of {material} filter"] if kinds else []
    return Sentence(f"through {listed(said)}")


def _other_materials(kinds: frozenset[str]) -> Sentence:
    named = [material for material in FILTER_MATERIALS if material in kinds]
    return Sentence(f"a {listed(named, 'or')} filter")


def folded(text: str) -> str:
    return " ".join(text.casefold().split())


BEANS = Kinds(
    name="bean",
    asked="bag",
    rule="How many beans the brews were made of, and from how many bags where it is one bean.",
    read=lambda brew: (str(brew.bean_id), f"bag {brew.bag_id}"),
    say=_beans,
    others=lambda kinds: Sentence("other beans"),
)
ORIGIN = Kinds(
    name="origin of the beans",
    rule="How many origins were noted, where there are several beans.",
    read=lambda brew: (folded(brew.origin),),
    say=_origins,
    others=lambda kinds: None,
)
PROCESS = Kinds(
    name="process of the beans",
    rule="How many processes were noted, where there are several beans.",
    read=lambda brew: (folded(brew.process),),
    say=_processes,
    others=lambda kinds: Sentence("beans of another process"),
)
DECAF = Kinds(
    name="caffeine",
    rule="Decaffeinated beans; none is not said.",
    read=lambda brew: ("without" if brew.decaf else "with",),
    say=_decaf,
    others=lambda kinds: Sentence(f"beans {listed(sorted(kinds))} caffeine"),
    all=frozenset({"with", "without"}),
)
FROZEN = Kinds(
    name="days in the freezer",
    rule="Days that a bag lay frozen are left out of the days off roast; none is not said.",
    read=lambda brew: ("some" if brew.frozen_days else "none",),
    say=_frozen,
    others=lambda kinds: None,
)
BREWER = Kinds(
    name="brewer",
    asked="brewer",
    rule="Brewers by kind; those marked as alike count as one.",
    read=lambda brew: (FAMILIES.get(brew.kind, brew.kind), f"brewer {brew.first_brewer_id}"),
    say=_brewers,
    others=lambda kinds: Sentence(f"brewers in which {listed(sorted(kinds), 'or')}"),
    all=frozenset({STEEPS, RUNS}),
)
FILTER = Kinds(
    name="filter",
    asked="filter",
    rule="Materials of the filters, and how many packs of each.",
    read=lambda brew: tuple(
        kind for one in brew.filters for kind in (one.material, f"pack {one.pack_id}")
    ),
    say=_filters,
    others=_other_materials,
    all=frozenset(FILTER_MATERIALS),
)
