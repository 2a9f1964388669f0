"""The call for each slot and the plan for the whole job."""
