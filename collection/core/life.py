"""How long parts live, from the technician's own log.

The front door of five small modules: ``lifetime`` (laws of life), ``life_log`` (what may be
in a log), ``life_fit`` (maximum likelihood), ``life_curve`` (Kaplan-Meier) and
``life_posterior`` (what a small log leaves open). Each states its model and its limits.
"""

from collection.core.life_curve import SurvivalCurve, kaplan_meier
from collection.core.life_fit import WeibullFit, fit
from collection.core.life_posterior import posterior
from collection.core.lifetime import Life, LifeDraws, LifeError

__all__ = [
    "Life",
    "LifeDraws",
    "LifeError",
    "SurvivalCurve",
    "WeibullFit",
    "fit",
    "kaplan_meier",
    "posterior",
]
