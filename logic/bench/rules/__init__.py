"""What to rule out before a slot is cut, as a table of rules and the few functions they name.

A rule (`assets/rules.json`) says when it is asked, what it asks and what each answer concludes.
Where an answer is a length, a judge turns it into one of the rule's options; where the readings or
the instrument already say it, a witness does. Adding a fault is adding a rule.
"""
