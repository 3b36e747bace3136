"""From a knowledge and a case to a Diagnosis: rules, belief, planning."""
