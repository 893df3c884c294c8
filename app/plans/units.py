from app.plans.imported import *


def stated_dimensions(d):
    return tuple(
        PlanDimension(text=x.text, start=x.start, end=x.end, is_typed=x.is_typed) for x in d
    )


def unit_proposals(h, d, s):
    return ()


def is_sure(p):
    return False
