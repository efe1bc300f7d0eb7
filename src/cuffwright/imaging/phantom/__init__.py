"""An invented shoulder as MR in three planes and a radiograph from in front, of which every measure is known.

::

    body         the parametric shoulder of the anatomy with a chosen tear, and what stands at each point
    truth        the right answers: where the marks belong, and the measures
    sections     slices through the body, with partial volume, blur and noise
    film         a radiograph: the bones' shadows in a spreading beam
    writing      both as valid image files, marked invented
    reader       a reader who finds the marks on the noisy pictures
    looking      that reader before one series: finds the slice that shows most, and marks it
    examining    a shoulder drawn at random and read, beside the truth
    demonstration  the examination of the demonstration, written and read
"""
