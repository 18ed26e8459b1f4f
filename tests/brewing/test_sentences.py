"""Sentences whose amounts can be written in other units."""

import pytest

from app.brewing.bounds import require
from app.brewing.sentences import Amount, Sentence
from app.formats import JOINED, Formats, Units

OUNCES = Formats("de", Units("oz", "US fl oz", "°F"))
SENTENCES = (
    Sentence("Below about {} it stays.", Amount(80.0, "°C", 0)),
    Sentence("Between {} and {}.", Amount(0.1, "g", 3, bare=True), Amount(2000.0, "g", 3)),
    Sentence(
        "{} apart, less than {}.", Amount(0.2, "% TDS", 2, fixed=True), Amount(0.24, digits=2)
    ),
    Sentence("{} of {}: none.", "Cup {} {", Amount(100.0, "g", 0)),
)


@pytest.mark.parametrize(
    ("said", "plain", "ounces"),
    [
        (SENTENCES[0], "Below about 80 °C it stays.", f"Below about 176{JOINED}°F it stays."),
        (SENTENCES[1], "Between 0.1 and 2000 g.", f"Between 0,00353 and 70,54792{JOINED}oz."),
        (
            SENTENCES[2],
            "0.20 % TDS apart, less than 0.24.",
            f"0,20{JOINED}% TDS apart, less than 0,24.",
        ),
        (SENTENCES[3], "Cup {} { of 100 g: none.", f"Cup {{}} {{ of 3,53{JOINED}oz: none."),
    ],
)
def test_a_sentence_is_text_in_si_and_can_be_written_otherwise(said, plain, ounces):
    """100 g / 28.349523125 g an ounce is 3.527; 80 degC is 176 degF."""
    assert (said, str(said), OUNCES.say(said)) == (plain, plain, ounces)
    assert Formats().say(said).replace(JOINED, " ") == plain


def test_an_error_says_the_sentence_it_carries():
    with pytest.raises(ValueError, match=r"Dose must be between 0\.1 and 5 g\.") as refused:
        require("Dose", float("nan"), (0.1, 5.0), "g")
    assert OUNCES.say(refused.value) == f"Dose must be between 0,00353 and 0,17637{JOINED}oz."
    assert OUNCES.say(ValueError("Plain.")) == "Plain."


def test_plain_text_keeps_its_numbers_and_these_their_units():
    plain = f"Nothing to write anew: 1.5{JOINED}g {{}}."
    assert OUNCES.say("Nothing to write anew: 1.5 g {}.") == plain
