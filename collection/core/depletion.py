"""How many years of spares remain.

Depletion is the first demand that stock cannot meet, not the empty shelf: with the last spare
in its socket the show goes on. Hours on until then do not depend on the tour; the years are
reached when the cumulative hours pass them.

Model: positions are independent renewal processes with age replacement (``demand``); units
fail their test independently, go bad on the shelf at a constant rate and are lost, each with
the same chance, in bulk losses (``shelf``); use follows ``touring``.
Assumptions: a part ages only in a socket; nothing comes in; a test costs no hours; parts are
pulled at the pull age and not at the next day off.
Limits: while pulls are kept, a socket uses between 1 / T and 1 / (mean cycle) units an hour
whatever the law of life, so the touring calendar matters far more than life data. Beyond the
horizon nothing is said but that it is beyond.
Departures: test rejects thin the stock once, K ~ Binomial(units, passes_test), which is exact
because every demand draws units until one passes. Both that and the losses are checked
against an event program in the tests.

This is the front door: ``deplete`` and ``Depletion`` live in ``depletion_forecast``, the
exact answer for small questions in ``depletion_exact``.
"""

from collection.core.depletion_exact import ExactDepletion, exact
from collection.core.depletion_forecast import Depletion, deplete
from collection.core.depletion_gain import KEEP, Change, Gain, gain
from collection.core.depletion_rates import failures_per_show, hand_rule_years, mates_gain_limit
from collection.core.depletion_scene import Question
from collection.core.depletion_warnings import warnings
from collection.core.seed import seed_from
from collection.core.spares import DepletionError, Sockets, Stock, Usage

__all__ = [
    "KEEP",
    "Change",
    "Depletion",
    "DepletionError",
    "ExactDepletion",
    "Gain",
    "Question",
    "Sockets",
    "Stock",
    "Usage",
    "deplete",
    "exact",
    "failures_per_show",
    "gain",
    "hand_rule_years",
    "mates_gain_limit",
    "seed_from",
    "warnings",
]
