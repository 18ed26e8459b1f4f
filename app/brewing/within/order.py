"""The things that limits are written of, always in this order; the order is our own rule."""

from app.brewing.within.amounts import CUP, RATIO, REST, STEEP, TEMPERATURE
from app.brewing.within.asides import OF_THE_GRINDER, OF_THE_HAND, OF_THE_SCALE, WATERS
from app.brewing.within.dimension import Dimension
from app.brewing.within.scales import AT_ONCE, GRIND, ICE, STIRS, USE, WATER
from app.brewing.within.things import BEANS, BREWER, DECAF, FILTER, FROZEN, ORIGIN, PROCESS

COFFEE: tuple[Dimension, ...] = (BEANS, ORIGIN, PROCESS, DECAF, REST, FROZEN)
GEAR: tuple[Dimension, ...] = (BREWER, FILTER, USE, AT_ONCE, GRIND, *OF_THE_GRINDER, WATERS, WATER)
AMOUNTS: tuple[Dimension, ...] = (
    TEMPERATURE, STEEP, STIRS, *OF_THE_HAND, ICE, RATIO, CUP, *OF_THE_SCALE,
)  # fmt: skip
EVERY = (*COFFEE, *GEAR, *AMOUNTS)
GROUPS = (("The coffee", COFFEE), ("The gear", GEAR), ("How it was brewed", AMOUNTS))
# What extraction and strength depend on in the published models (Liang et al. 2021 and Moroney et
# al. 2016: ratio, temperature, time, grind; Frost et al. 2020: way of brewing), then water and
# filter, rest and size, which are common practice. What comes first is our own rule.
PUBLISHED = (GRIND, STEEP, TEMPERATURE, WATER, FILTER, RATIO, BREWER, REST, CUP)
# Of these "one bean" says all there is to say; so they are named only where they are asked about.
SAID_BY_COUNT = (BEANS, ORIGIN)
# One bean has one origin and one process.
OF_SEVERAL_BEANS = (ORIGIN, PROCESS)
