"""Cups and questions for plans of sittings, all drawn from a seed."""

from random import Random

from app.brewing.along.timeline import Brewed, Timeline, timeline
from app.brewing.ranged import Ranged
from app.brewing.sitting.wanted import AtHand, CupWanted, FilterWanted, TrialsWanted, Wanted

# Cups and brews of one trial of each method: of A, of B, by lot.
METHODS = ((1, 1, 0), (1, 1, 1), (2, 1, 0), (2, 2, 0), (0, 0, 1), (0, 0, 2), (1, 0, 1))


def clock(lots: Random) -> Timeline:
    return timeline(
        (),
        Brewed(
            water_g=lots.randint(90, 320),
            steep_s=lots.randint(20, 260),
            press_s=lots.choice((None, lots.randint(12, 40))),
            stirs=lots.choice((None, 1, 4)),
        ),
    )


def cup(lots: Random, **given: object) -> CupWanted:
    dose = lots.randint(90, 260) / 10
    values: dict[str, object] = {
        "bag_id": lots.randint(1, 3),
        "first_brewer_id": lots.randint(1, 3),
        "line": clock(lots),
        "dose_g": dose,
        "water_g": dose * lots.uniform(8, 17),
        "bypass_g": lots.choice((0.0, 37.0)),
        "ice_g": lots.choice((0.0, 0.0, 64.0)),
        "rinse_g": lots.choice((0.0, 41.0)),
        "beverage_g": dose * lots.uniform(7, 15),
        "caffeine_mg": Ranged(11 * dose, 9 * dose, 13 * dose),
        "strength_pct": lots.choice((None, lots.uniform(0.8, 2.6))),
        "extraction_pct": lots.choice((None, lots.uniform(14, 25))),
        "filters": lots.choice(((), (FilterWanted(lots.randint(1, 2), lots.choice((1, 8))),))),
    }
    return CupWanted(**values | given)  # type: ignore[arg-type]


def trials(lots: Random, count: int) -> TrialsWanted:
    served = lots.choice(METHODS)
    brewed = lots.choice(((0, 0, 0), (1, 1, 0), served))
    return TrialsWanted(
        count=count, served_a=served[0], served_b=served[1], served_by_lot=served[2],
        brews_a=brewed[0], brews_b=brewed[1], brews_by_lot=brewed[2],
    )  # fmt: skip


def questions(lots: Random, most_rounds: int) -> list[Wanted]:
    """Some questions that ask for `most_rounds` rounds at most."""
    asked: list[Wanted] = []
    rounds = 0
    for number in range(1, lots.randint(1, most_rounds) + 1):
        pair = lots.random() < 0.7
        count = lots.randint(0 if pair else 1, 2)
        wanted = Wanted(
            question_id=number, a=cup(lots), b=cup(lots), pair=pair,
            trials=trials(lots, count) if count else None,
        )  # fmt: skip
        rounds += pair + count
        if rounds > most_rounds:
            break
        asked.append(wanted)
    return asked


def kitchen(lots: Random) -> AtHand:
    brewers = {number: lots.randint(0, 3) for number in (1, 2, 3)}
    return AtHand(brewers=brewers, kettle_g=lots.choice((800.0, 1000.0, 1700.0)))
