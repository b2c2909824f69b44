"""The climate page: how much of the time a plan's operations can be worked, and how long the rig waits."""
