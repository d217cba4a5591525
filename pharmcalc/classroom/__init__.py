"""The class loop on nbgrader's machinery and gradebook: a class list, an issue, hand-ins, marks, feedback, a report.

====================  =====================================================================================
an instructor's desk  ``desk`` (each command, told in a few lines), ``course`` (the folder), ``roster``
its two doors         ``desk_door`` (the terminal), ``desk_view`` and the other ``desk_...`` (the notebook)
before the class      ``release`` and ``issue`` (what students get), ``deadlines``, ``resit``
hand-ins              ``takein`` (whose is it), ``which`` (which of them counts), ``parcels``, ``handin``, ``inbox``,
                      ``naming``, ``submitted`` (what lies where nbgrader expects it)
the simulated bench   ``takein_records`` (whose record is it), ``records`` (reading it beside the notebook)
one hand-in           ``assess``: ``tidy``, ``escaping``, ``marker``; ``feedback_page``
a whole class         ``run`` and ``feedback_run``: ``workers`` mark, ``ledger`` owns the gradebook, ``finished`` says
                      what was done, ``outcomes``
the same in nbgrader  ``preprocessors``, ``late``, ``config`` (nbgrader's settings), ``engine`` (its converters)
after marking         ``picture`` (the class as data), ``report``, ``sampling`` and ``scripts_...`` (ten scripts),
                      ``overrides`` and ``attempts`` (lists that are only added to, by ``lists``)
over the term         ``term`` (the class in all assignments), ``competency`` (what was observed of each student)
below all             ``cells``, ``pages``
the demo class        ``demo``, ``demo_students``, ``demo_handins``, ``demo_bench``
====================  =====================================================================================

Import the modules by name; this page imports none, because nbgrader is slow to start.
"""
