from django.urls import path

from . import goods_in, views

# The address <order>/place/ and the order's PDF belong to builds.gathering, which knows the jobs an order is for.
app_name = "orders"
urlpatterns = [
    path("", views.listing, name="list"),
    path("new/", views.draft, name="draft"),
    path("goods-in/", goods_in.goods_in, name="goods_in"),
    path("returns/", goods_in.returns, name="returns"),
    path("returns/<int:pk>/", goods_in.return_case, name="return_case"),
    path("arrivals/<int:pk>/undo/", goods_in.undo, name="undo"),
    path("<order:number>/", views.order, name="order"),
    path("<order:number>/edit/", views.edit, name="edit"),
    path("<order:number>/parts/", views.find_part, name="find_part"),
    path("<order:number>/parts/<int:part>/", views.add_line, name="add_line"),
    path("<order:number>/lines/<int:pk>/", views.line, name="line"),
    path("<order:number>/lines/<int:pk>/remove/", views.remove_line, name="remove_line"),
    path("<order:number>/cancel/", views.cancel, name="cancel"),
    path("<order:number>/confirm/", views.confirm, name="confirm"),
    path("<order:number>/again/", views.again, name="again"),
    path("<order:number>/receive/", goods_in.receive, name="receive"),
    path("<order:number>/receive/<int:pk>/", goods_in.receive_line, name="receive_line"),
]
