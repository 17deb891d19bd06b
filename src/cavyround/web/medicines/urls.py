"""Addresses of medicines and care, and of the shelf."""

from django.urls import path

from cavyround.web.medicines import (
    allergy_pages,
    course_pages,
    days_off_pages,
    dose_pages,
    home,
    order_pages,
    ordering,
    shelf_pages,
)

ORDER = "medicines/orders/<uuid:order_id>"
COURSE = "medicines/courses/<uuid:course_id>"
LOT = "shelf/lots/<uuid:lot_id>"
urlpatterns = [
    path("medicines", home.medicines, name="medicines"),
    path("medicines/orders/new", ordering.enter_order, name="enter-order"),
    path("medicines/days-off/new", days_off_pages.day_off_add, name="day-off-add"),
    path(
        "medicines/days-off/<uuid:day_off_id>/end",
        days_off_pages.day_off_end,
        name="day-off-end",
    ),
    path(ORDER, order_pages.order, name="order"),
    path(f"{ORDER}/change", ordering.change_order, name="change-order"),
    path(f"{ORDER}/stop", order_pages.order_stop, name="stop-order"),
    path(f"{ORDER}/for/<uuid:animal_id>", home.follow_standing, name="follow-standing"),
    path("medicines/aside/<uuid:aside_id>/end", order_pages.aside_end, name="aside-end"),
    path(COURSE, course_pages.course, name="course"),
    path(f"{COURSE}/look", course_pages.course_look, name="course-look"),
    path(f"{COURSE}/stop", course_pages.course_stop, name="course-stop"),
    path(f"{COURSE}/earlier", dose_pages.dose_earlier, name="dose-earlier"),
    path("medicines/doses/<uuid:dose_id>", dose_pages.dose_correct, name="dose-correct"),
    path(f"{COURSE}/aside", order_pages.reason_aside, name="reason-aside"),
    path("animals/<uuid:animal_id>/allergies/new", allergy_pages.allergy_add, name="allergy-add"),
    path("allergies/<uuid:allergy_id>/end", allergy_pages.allergy_end, name="allergy-end"),
    path("shelf", shelf_pages.shelf, name="shelf"),
    path("shelf/new", shelf_pages.new_product, name="new-product"),
    path("shelf/<uuid:product_id>", shelf_pages.product, name="product"),
    path("shelf/<uuid:product_id>/change", shelf_pages.change_product, name="change-product"),
    path("shelf/<uuid:product_id>/lots/new", shelf_pages.new_lot, name="new-lot"),
    path(LOT, shelf_pages.change_lot, name="change-lot"),
    path(f"{LOT}/move", shelf_pages.move_lot, name="move-lot"),
]
