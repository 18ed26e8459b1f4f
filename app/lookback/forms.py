"""What looking back is narrowed to."""

from wtforms import Form

from app.brewing import bounds
from app.journal.lookback.best import Sought
from app.web.fields import NumberField, PickField


class BestForm(Form):
    """Which cups are looked for among the best."""

    taster = PickField("Taster")
    brewer = PickField("Brewer")
    bean = PickField("Bean")
    at_least = NumberField("Liking from", bounds=bounds.LIKING)
    at_most = NumberField("Liking to", bounds=bounds.LIKING)

    def sought(self) -> Sought:
        return Sought(
            self.taster.data,
            self.brewer.data,
            self.bean.data,
            self.at_least.data,
            self.at_most.data,
        )
