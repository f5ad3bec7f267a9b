"""dialogue"""
