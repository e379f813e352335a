"""One lap's strip between two closures, solved: what the simple formulas are held against.

A thin orthotropic sheet that stretches, shears and bends, held at the closures, drawn across its line, its
free edge resting on the body, which it may leave but not enter. Computed only, and not tried on cloth: cloth
also creeps, rubs, yields and is not flat. Needs the `model` extra (numpy and scipy); nothing that the command
answers waits for it.

Start with `strip.solve`. Terms: the *strip* is one gap of one lap's band, `x` along the closing line from one
closure to halfway to the next, `y` from the free edge inwards; a *membrane* figure is of the sheet in its own
plane; *full* strains count turning, so that a slack edge can rise and a drawn line stiffens.
"""
