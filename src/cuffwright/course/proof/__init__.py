"""The proof: published benches set up again, ours beside the published value and beside a null model.

::

    bench.py           a study's set-up and the values it is held against, as data
    laying.py          a bench construct as a layout on its strip of tendon
    rig.py             one construct in one set-up, ready to be pulled, cycled and pressed
    strength.py        what is read off its draws and its pull
    cycling.py         what is read off repeated pulls
    pressing.py        what is read off its pressure map
    quantities.py      all readings by name
    direction.py       rising, falling, in order
    contact_trends.py  which way contact goes
    trends.py          all checks over a whole bench by name
    null.py            the model that knows only how many holes or limbs there are
    row.py             one row of the table, and the whole table
    prove.py           every row of every bench
    error.py           how wrong the model is on rows it was not fitted to
"""
