"""Looking back: days, months, bags beside each other, and the best cups of all."""
