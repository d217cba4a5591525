"""The class loop on nbgrader's machinery and gradebook: a class list, an issue, hand-ins, marks, feedback, a report.

====================  ====================================================================================
an instructor's desk  ``desk`` (each command, told in a few lines), ``course`` (the folder), ``roster``
its two doors         ``desk_door`` (the terminal), ``desk_view`` and the other ``desk_...`` (the notebook)
before the class      ``release`` and ``issue`` (what students get), ``config`` (nbgrader's settings)
hand-ins              ``parcels`` (folders and zips), ``handin`` (one file), ``takein`` (whose is it), ``inbox``
the simulated bench   ``takein_records`` (whose record is it), ``records`` (reading it beside the notebook)
marking               ``tidy``, ``escaping``, ``marker``, ``preprocessors`` (the same inside nbgrader), ``run``
after marking         ``feedback_page``, ``picture`` (the class as data), ``report``, ``term`` (all assignments)
below all             ``engine`` (nbgrader's converters and gradebook), ``cells``, ``pages``
the demo class        ``demo``, ``demo_students``, ``demo_handins``, ``demo_bench``
====================  ====================================================================================

Import the modules by name; this page imports none, because nbgrader is slow to start.
"""
