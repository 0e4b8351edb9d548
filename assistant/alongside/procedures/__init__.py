"""Procedures for the trainee: one YAML file each, their strict loader, and the walk through one.

A new procedure is one more file beside the others. Its fields are those of `steps.Step` and
`steps.Procedure`; words that all share stand in ground.yaml. Steps are one action each, in the
order in which they are made, and each names its source.
"""
