"""The kinds of brewer, in words: what happens in them and which sums follow from it."""

KINDS = {
    "pressed immersion": (
        "All the grounds steep in all the water, then it is pressed through the filter. Strength "
        "and extraction follow the immersion formula; the little that pressing adds by running "
        "through the bed is left out."
    ),
    "immersion": (
        "All the grounds steep in all the water and are then drained or poured off. Strength and "
        "extraction follow the immersion formula."
    ),
    "cone": (
        "Water runs through a cone of grounds: drip. Weigh the beverage when you measure its "
        "strength, and the extraction needs no guess of what the grounds hold."
    ),
    "flat bed": (
        "Water runs through a level bed of grounds: drip. Weigh the beverage when you measure its "
        "strength, and the extraction needs no guess of what the grounds hold."
    ),
    "other": (
        "No formula is sure to fit, so nothing is estimated: the ratio and what you measure stand "
        "alone."
    ),
}
