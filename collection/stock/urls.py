"""Addresses of the stock."""

from django.urls import include, path

from collection.stock.views import fitting, lifetimes, lots, types, ways

app_name = "stock"
urlpatterns = [
    path("", types.stock, name="stock"),
    path("limits/", types.limits, name="limits"),
    path("add-type/", types.add_type, name="add_type"),
    path("type/<str:type>/", types.type_page, name="type"),
    path("type/<str:type>/edit/", types.edit_type, name="edit_type"),
    path("type/<str:type>/pull/", types.choose_pull, name="choose_pull"),
    path("type/<str:type>/assumed/", types.outlook, name="outlook"),
    path("type/<str:type>/lives/", lifetimes.lifetimes, name="lifetimes"),
    path("type/<str:type>/ways/", ways.ways, name="ways"),
    path("type/<str:type>/ways/keep/", ways.keep_plan, name="keep_plan"),
    path("plan/<int:thrift>/", ways.plan, name="plan"),
    path("type/<str:type>/add-lot/", lots.add_lot, name="add_lot"),
    path("lot/<slug:lot>/", lots.lot, name="lot"),
    path("lot/<slug:lot>/<slug:act>/", lots.act, name="act"),
    path("part/<slug:part>/", fitting.part, name="part"),
    path("part/<slug:part>/pull/", fitting.pull, name="pull"),
    path("part/<slug:part>/died/", fitting.die, name="die"),
    path("matching/", include("collection.stock.matching.urls")),
    path("change/<slug:code>/<str:position>/", fitting.change, name="change"),
]
