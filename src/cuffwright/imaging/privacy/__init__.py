"""De-identification by the standard's basic profile (PS3.15, Annex E), with one option.

::

    profile     the profile's table: which attribute is removed, emptied, replaced
    stripping   one data set stripped of everything the table names
    files       one file stripped and written; burned-in text warned of; a link kept only when asked
    whole       a whole import stripped, after right patient and side are settled

Always: the basic application-level confidentiality profile (code 113100). On request: patient characteristics kept
(113108): sex, age, size and weight. Dates are removed, not shifted. Pixels are not cleaned: text burned into a
picture is warned of, never taken for gone.
"""
