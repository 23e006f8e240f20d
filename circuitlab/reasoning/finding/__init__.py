"""Find the fault: from the customer's words and a few readings to the joint.

The rooms, from below: the two tables of ``assumptions``, the ``candidates``, which fuses they blow in ``shorting``, all of them ``solved``, what was ``told``, ohms of what
is ``cold``, the ``weighing`` with what ``eyes`` see and what ``sayings`` come of it, the tests of ``looking_ahead``, the ``offers`` of readings with their ``parting`` and ``battery_off``,
the ``next_reading``, ``spans``, ``slips``, ``pairs``, each ``cause``, and the ``finding``. They load numpy, so nothing here loads them.
"""
