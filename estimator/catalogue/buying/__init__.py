"""The whole purchase at least money: all parts, all suppliers and their terms at once.

The model, in whole numbers. For each part of the job and each item that may serve it, decide
how many packs are bought (a *line*); for each kit, how many; for each supplier, whether it is
used. Then

    money   = prices of all lines + delivery fees of the suppliers used       -> least
    each part is covered: by its lines, by kits, by what is at hand; of goods by length every
    cut lies whole on one piece, what is sold by the foot being one piece of whole feet
    a line is 0 packs, or its minimum and whole steps above it; the price of all its packs is
    that of the quantity break it reaches
    a supplier that is used sells for at least its minimum order; its fee is not due from a
    stated sum on; no more suppliers are used than the terms allow

More than is needed may be bought, to reach a break, a minimum or free delivery.

How it is solved exactly:

1. Kits (``joint``): for each count of kits in turn, what they hold is at hand for the parts.
2. Suppliers (``joint``): for each set of suppliers, and for each of them with or without
   free delivery, what must be bought from it at least is a *floor*. The cheapest purchase of
   each part from the set (``part_buyer``) and the fees are a lower bound; sets are taken from
   the least bound on until that reaches the best purchase found.
3. Where the cheapest purchases leave a supplier below its floor (``assign``): prices of that
   supplier are lowered by a share until it sells enough. That gives a closer bound (Lagrange)
   and a purchase; the purchases of single parts that could still be in a better whole
   (``count_ways``, ``cut_ways``) are put together part by part, keeping for each sum sold by
   that supplier only the least money.
4. What then is missing to a floor is filled with packs of anything that supplier sells for
   the job (``fill``), by the sums that packs can add up to.

Each search has a budget of steps. Where one is spent, the least of the bounds not yet
disproven is the lower bound of the whole plan, and the difference to it is stated.
"""
