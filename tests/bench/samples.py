"""What addresses of jobs, plans and share links can name, for `tests/samples.py`."""

from datetime import timedelta
from decimal import Decimal

from collection.bench.due.actions import choose_plan
from collection.bench.jobs.actions import Terms, send
from collection.bench.jobs.models import Job
from collection.bench.jobs.sharing import share_job
from collection.catalogue.actions import add_piece
from collection.custody.actions import add_party
from registry import clock
from registry.access.models import Membership, ShareLink
from registry.access.sharing import share


def a_job(keeper: Membership, mark: str) -> str:
    """A job under a code of its own: the next free one is the same in every collection."""
    where = {"collection": keeper.collection, "by": keeper}
    code = f"A-{mark.upper()}-1"
    add_piece(**where, code=code, kind="amplifier")
    repairer = add_party(**where, name=f"Bench {mark}", code=f"N-{mark.upper()}-1")
    terms = Terms("hums", orders=("ring-first",), limit_minor=10000)
    job = f"J-{mark.upper()}"
    return send(**where, pieces=[code], repairer=repairer, terms=terms, code=job).code


def _link_to_a_job(keeper: Membership) -> tuple[ShareLink, str]:
    job = Job.objects.of(keeper.collection).get()
    return share_job(job=job, by=keeper, label="The bench", days=7, now=clock.now())


def a_share(keeper: Membership, mark: str) -> str:
    return str(_link_to_a_job(keeper)[0].pk)


def a_token_of_a_job(keeper: Membership, mark: str) -> str:
    return _link_to_a_job(keeper)[1]


def _calendar(keeper: Membership) -> tuple[ShareLink, str]:
    made = {"purpose": "calendar", "code": keeper.code, "label": keeper.name, "by": keeper}
    return share(keeper.collection, now=clock.now() - timedelta(minutes=1), **made)


def a_calendar_share(keeper: Membership, mark: str) -> str:
    return str(_calendar(keeper)[0].pk)


def a_calendar_token(keeper: Membership, mark: str) -> str:
    return _calendar(keeper)[1]


def a_plan(keeper: Membership, mark: str) -> str:
    plan = choose_plan(
        collection=keeper.collection,
        by=keeper,
        what=f"contacts cleaned {mark}",
        every=Decimal(365),
        measured_by="days",
        basis="common practice, no source",
        reason="as before",
    )
    return str(plan.pk)
