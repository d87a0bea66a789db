from django.urls import path

from . import draft_views, mail_views, money_views, rule_views, views

ISSUE = "jobs/<job:number>/quote/<quote:quote>/<int:issue>/"

app_name = "quotes"
urlpatterns = [
    path("jobs/<job:number>/quote/", views.sheet, name="sheet"),
    path("jobs/<job:number>/quote/draft/", views.draft, name="draft"),
    path("jobs/<job:number>/quote/variation/", views.vary, name="vary"),
    path(ISSUE, views.issue, name="issue"),
    path(ISSUE + "send/", views.send, name="send"),
    path(ISSUE + "accept/", views.accept, name="accept"),
    path(ISSUE + "decline/", views.decline, name="decline"),
    path(ISSUE + "discard/", views.discard, name="discard"),
    path(ISSUE + "pdf/", views.pdf, name="pdf"),
    path(ISSUE + "mail/", mail_views.mail_issue, name="mail_issue"),
    path(ISSUE + "lines.<slug:form>", views.lines_file, name="lines_file"),
    path(ISSUE + "terms/", draft_views.terms, name="terms"),
    path(ISSUE + "lay-again/", draft_views.lay_again, name="lay_again"),
    path(ISSUE + "lines/", draft_views.add_line, name="add_line"),
    path(ISSUE + "lines/<int:pk>/", draft_views.line, name="line"),
    path(ISSUE + "lines/<int:pk>/remove/", draft_views.remove_line, name="remove_line"),
    path(ISSUE + "stages/", draft_views.add_stage, name="add_stage"),
    path(ISSUE + "stages/<int:pk>/", draft_views.stage, name="stage"),
    path(ISSUE + "stages/<int:pk>/remove/", draft_views.remove_stage, name="remove_stage"),
    path(ISSUE + "rework/", draft_views.put_rework, name="put_rework"),
    path(ISSUE + "rework/<int:pk>/remove/", draft_views.drop_rework, name="drop_rework"),
    path("workshop/prices/", rule_views.rules, name="rules"),
    path("workshop/prices/add/", rule_views.edit_rule, name="add_rule"),
    path("workshop/prices/<int:pk>/", rule_views.edit_rule, name="edit_rule"),
    path("workshop/prices/<int:pk>/remove/", rule_views.remove_rule, name="remove_rule"),
    path("jobs/<job:number>/money/", money_views.money, name="money"),
    path("jobs/<job:number>/money/as.<slug:form>", money_views.money_file, name="money_file"),
    path("jobs/<job:number>/money/stages/<int:pk>/bill/", money_views.raise_bill, name="raise_bill"),
    path("jobs/<job:number>/money/<bill:bill>/payments/", money_views.record_payment, name="record_payment"),
    path("jobs/<job:number>/money/<bill:bill>/give-back/", money_views.give_back, name="give_back"),
    path("jobs/<job:number>/money/<bill:bill>/mail/", mail_views.mail_bill, name="mail_bill"),
    path("jobs/<job:number>/money/<bill:bill>/pdf/", money_views.bill_pdf, name="bill_pdf"),
    path("jobs/<job:number>/money/<bill:bill>/xml/", money_views.bill_xml, name="bill_xml"),
]
