"""A plan in one plain sentence, put together from its choices."""

from collections.abc import Mapping

from app.sensory.blind.design import Choices, Field, holds

When = Mapping[Field, tuple[str, ...]]

NOT_NAMED = "of what you name"
_MANY = ("several", "panel")

PARTS: tuple[tuple[When, str], ...] = (
    ({"tasting": ("one",)}, "You will"),
    ({"tasting": ("several",)}, "Each taster will"),
    ({"tasting": ("panel",)}, "Each of {trials} tasters will, once,"),
    (
        {"method": ("triangle",)},
        " get three cups, two of them the same, and say which is the odd one",
    ),
    ({"method": ("paired",)}, " get two cups and say which has more {of}"),
    (
        {"method": ("three-cup",)},
        " get three cups, two of them the same, and say which has the most {of}",
    ),
    (
        {"method": ("duo-trio",)},
        " get a reference and two cups, and say which of the two is the same as the reference",
    ),
    (
        {"method": ("tetrad",)},
        " get four cups, two and two the same, and say which goes with the first",
    ),
    (
        {"method": ("A-not-A",), "reminder": ("no",)},
        " taste one cup without knowing which it is, and say from memory whether it is A",
    ),
    (
        {"method": ("A-not-A",), "reminder": ("yes",)},
        " taste a cup known to be A, then one without knowing which it is, and say whether it is A",
    ),
    ({"method": ("same-different",)}, " get two cups and say whether they are the same"),
    ({"method": ("preference",)}, " get two cups and say which you like better"),
    (
        {"tasting": ("one",), "pouring": ("solo",)},
        "; you pour alone, with marks under the cups, and turn the tray until you have lost count",
    ),
    (
        {"tasting": _MANY, "pouring": ("solo",)},
        "; each pours alone, with marks under the cups, and turns the tray until count is lost",
    ),
    ({"tasting": ("one",), "pouring": ("helper",)}, "; somebody else pours while you look away"),
    ({"tasting": _MANY, "pouring": ("helper",)}, "; somebody who does not taste pours"),
    ({"pouring": ("coded",)}, "; somebody fills and codes the vessels beforehand"),
    (
        {
            "pouring": ("coded",),
            "method": ("A-not-A",),
            "brewing": ("one pair", "every cup its own"),
            "tasting": ("one", "several"),
        },
        ", for many mornings at once if they like",
    ),
    (
        {"brewing": ("one pair",)},
        "; all cups come from these two brews, and the answer is about them only",
    ),
    (
        {"brewing": ("fresh pair each trial",)},
        "; both are brewed afresh for every trial, and the answer is about these ways of brewing",
    ),
    (
        {"brewing": ("every cup its own",)},
        "; every cup is a brew of its own, and the answer is about these ways of brewing",
    ),
    (
        {"rule": ("every morning",)},
        "; you see after each trial whether it is enough, and may stop whenever you like",
    ),
    (
        {"rule": ("step by step",)},
        "; you see after each trial whether it is enough: it ends once a line is crossed",
    ),
    ({"rule": ("fixed number",), "tasting": ("one", "several")}, "; there are {trials} trials"),
    (
        {"rule": ("fixed number",), "tasting": ("one", "several"), "controls": ("none",)},
        " and no more",
    ),
    (
        {"controls": ("some",)},
        ", mixed with {controls} of A against A, and there is no result before the end",
    ),
    ({"tasting": ("panel",)}, "; there is no result before the end"),
    ({}, "."),
)


def in_one_sentence(
    choices: Choices, *, attribute: str = "", trials: int | None = None, controls: int | None = None
) -> str:
    """What will happen, for whoever plans it."""
    text = "".join(part for when, part in PARTS if holds(when, choices))
    return text.format(of=attribute or NOT_NAMED, trials=trials or "so many", controls=controls)
