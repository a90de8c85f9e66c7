"""The ledger: signed notes in one chain, and what each may say."""
