"""A refit quote in; slips of its sums, findings beside the boat and questions to the yard out."""
