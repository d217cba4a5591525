"""Paper for the lab, as pages to print: students' sheets with weighing records, the key, the sign-off list."""

from pharmcalc.sheets.key import instructor_key
from pharmcalc.sheets.papers import Person
from pharmcalc.sheets.signing import sign_off_list
from pharmcalc.sheets.students import student_sheets

__all__ = ["Person", "instructor_key", "sign_off_list", "student_sheets"]
