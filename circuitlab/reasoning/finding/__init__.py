"""Find the fault: from the customer's words and a few readings to the joint.

The rooms, from below: the two tables of ``assumptions``, what was ``told``, also by ``customers`` of many lamps, each ``candidate``, ``poor_contacts``, all ``candidates``, which fuses they blow in ``shorting``, ohms of what is
``cold``, what ``eyes`` see, what ``sayings`` come of it, the ``weighing``, and all of it ``solved``; each ``offer``, what is known ``so_far``, sentences ``asked_for``, the tests of
``looking_ahead``, ``parting``, ``battery_off``, the ``offers`` of readings, ``spans``, the ``next_reading``, MIN or MAX ``held_by``; whether things told agree in ``agreeing``, the
``joint_size``, each ``cause``, ``slips``, ``pairs``, ``repairs`` that failed, and the ``finding``; on it stand the ``case``, its ``case_file``, what is ``kept`` of it, and the
``fault_sheet``. Many load numpy, so nothing here loads them.
"""
