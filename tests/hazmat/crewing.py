"""People with training, jobs and outings for the tests of people, a line each."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from hazmat.actions.crews import sign_in_crew
from hazmat.actions.outings import go_out
from hazmat.actions.training import override_training, record_training
from hazmat.book.receipt import Receipt
from hazmat.models import Unit
from hazmat.queries.mine import my_lines
from hazmat.queries.yards import Standing, member_of
from tests.cast import ZONE, Cast, order

DAY = timedelta(days=1)


@dataclass
class People:
    """Acts of the cast in its yard; `by`: a role of the cast."""

    cast: Cast

    @property
    def yard(self) -> UUID:
        assert self.cast.yard_id is not None
        return self.cast.yard_id

    @property
    def today(self) -> date:
        return timezone.localdate(timezone=ZoneInfo(ZONE))

    @property
    def unit(self) -> UUID:
        return Unit.objects.get(tag=self.cast.words["tag"]).pk

    def id(self, who: str) -> UUID:
        return self.cast.people[who].pk

    def order(self, by: str = "boss", **more: Any) -> Any:
        return order(self.yard, self.id(by), **more)

    def here(self, who: str) -> Standing:
        found = member_of(self.cast.yard, self.cast.people[who])
        assert found is not None
        return found

    def lines(self, who: str, now: datetime | None = None) -> list[str]:
        """What stands on *Next* of somebody."""
        return [one.says for one in my_lines(self.here(who), now or timezone.now())]

    def trained(self, who: str, *kinds: str, until: date | None = None, by: str = "boss", **more: Any) -> None:
        told = {"done_on": date(2020, 1, 5), "until": until, **more}
        for kind in kinds:
            record_training(self.order(by), person=self.id(who), kind=kind, **told)

    def let(self, who: str, work: str = "sample", by: str = "manager", **more: Any) -> Receipt:
        told = {"reason": "it leaks", **more}
        return override_training(self.order(by), person=self.id(who), work=work, **told)

    def signed(self, who: str, work: str = "sample", by: str = "boss", **more: Any) -> Receipt:
        told: dict[str, Any] = {"unit": self.unit, "work": work, "person": self.id(who), "read": True, **more}
        return sign_in_crew(self.order(by), **told)

    def out(self, who: str, due: timedelta = timedelta(hours=2), **more: Any) -> UUID:
        told: dict[str, Any] = {"where": "the creek", "phone": "channel 3", "whom": "A Friend", **more}
        return go_out(self.order(who), due_back=timezone.now() + due, **told).the("hazmat.outing")
