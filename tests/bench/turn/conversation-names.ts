/** The name of a conversation says which script it follows. */
export const conversationName = (script: number, run: string): string => `${script}-${run}`;

export const scriptOf = (conversation: string): number => Number.parseInt(conversation, 10);
