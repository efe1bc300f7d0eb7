"""The record as a FHIR R4 bundle, written by hand and checked against the codes of the standard."""
