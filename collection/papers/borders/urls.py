"""Addresses of borders, under the papers."""

from django.urls import path

from collection.papers.borders import views

urlpatterns = [
    path("", views.borders, name="borders"),
    path("crossings/<int:crossing>/", views.put_right, name="put_right"),
    path("<slug:tour>/", views.border, name="border"),
    path("<slug:tour>/carnet/", views.carnet, name="carnet"),
    path("<slug:tour>/choose/", views.choose, name="choose_for_carnet"),
    path("<slug:tour>/goods/", views.list_goods, name="list_goods"),
    path("<slug:tour>/goods/<int:goods>/strike/", views.strike_goods, name="strike_goods"),
    path("<slug:tour>/issue/", views.issue, name="issue_carnet"),
    path("<slug:tour>/list/", views.goods_list, name="goods_list"),
    path("<slug:tour>/truck/", views.truck, name="list_and_truck"),
    path("<slug:tour>/cross/", views.cross, name="cross"),
]
