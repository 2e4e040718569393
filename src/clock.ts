/** The present, handed in from main so that nothing else reads the machine's clock. */
export type Clock = () => Date;
